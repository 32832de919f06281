/* pedalsim: plugs in virtual foot switches and plays a script on them, to the microsecond where the machine allows.
 *
 *   pedalsim SCRIPT
 *
 * One command a line, # begins a comment, times are in milliseconds with decimals:
 *
 *   create NAME MODEL [usb=1209:2303] [label=Some_name] [phys=where] [serial=text]
 *   down NAME SWITCH              switches are counted from 1
 *   up NAME SWITCH
 *   tap NAME SWITCH HELD          down, and up after HELD
 *   bounce NAME SWITCH down|up GAP GAP...   to that level, away after the first gap, back after the second, ...
 *   move NAME AXIS VALUE          axes are counted from 1, values are 0 to 255
 *   raw NAME HEXBYTES             a report as it stands
 *   destroy NAME                  pulls the plug, whatever is held
 *   wire NAME FILE                opens a file or node, such as the far end of a MIDI cable
 *   cut NAME                      closes it
 *   send NAME HEXBYTES            writes bytes to it
 *   put FILE TEXT                 writes a line into one of the kernel's files
 *   wait TIME                     counted from when the last command was due, so that times do not drift
 *   touch FILE                    makes a file, to tell another program
 *   await FILE [TIMES WORD...]    until the file is there and so many of its lines hold all the words, in any case;
 *                                 the file may be a pattern, and then the lines of all that match are counted
 *   say TEXT                      into the log
 *
 * After create, destroy and await, waits are counted from when they ended. Each line of the log, on standard output, is
 * "WHAT BEFORE AFTER DEVICE REST": times in nanoseconds of CLOCK_MONOTONIC around the call into the kernel.
 * Ends with 0; 1 if the kernel refuses; 2 if the script is wrong; 3 if an await lasted for three minutes. */
#define _GNU_SOURCE
#include "device.h"

#include <errno.h>
#include <fcntl.h>
#include <glob.h>
#include <sched.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/mman.h>
#include <sys/prctl.h>
#include <unistd.h>

enum { MOST_WORDS = 32 };

static int64_t due;
static int line_number;

static char *word(char **words, int at) {
    if (!words[at]) fail(2, "line %d: '%s' needs more words", line_number, words[0]);
    return words[at];
}

static int64_t millis(const char *text) {
    char *end;
    double value = strtod(text, &end);
    if (*end || end == text || value < 0) fail(2, "line %d: '%s' is no time in milliseconds", line_number, text);
    return (int64_t)(value * 1e6);
}

static unsigned counted(const char *text, unsigned from, unsigned to) {
    char *end;
    unsigned long value = strtoul(text, &end, 10);
    if (*end || end == text || value < from || value > to)
        fail(2, "line %d: '%s' is not between %u and %u", line_number, text, from, to);
    return (unsigned)value;
}

static void pass(int64_t nanos) {
    due += nanos;
    serve_until(due);
}

static void set_switch(char **words, bool down) {
    struct device *device = device_named(word(words, 1));
    unsigned number = counted(word(words, 2), 1, device->model->switches);
    uint32_t bit = 1u << (number - 1);
    device->stance.down = down ? device->stance.down | bit : device->stance.down & ~bit;
    char what[32];
    snprintf(what, sizeof what, "%s %u", down ? "down" : "up", number);
    send_stance(device, what);
}

static void do_create(char **words) {
    const struct model *model = model_named(word(words, 2));
    if (!model) fail(2, "line %d: no model '%s'", line_number, words[2]);
    struct identity identity = {.vendor = model->vendor, .product = model->product};
    snprintf(identity.label, sizeof identity.label, "%s", model->label);
    snprintf(identity.phys, sizeof identity.phys, "lab/%s", words[1]);
    for (int i = 3; words[i]; i++) {
        char *value = strchr(words[i], '=');
        if (!value) fail(2, "line %d: '%s' is not key=value", line_number, words[i]);
        *value++ = 0;
        if (!strcmp(words[i], "usb") && sscanf(value, "%hx:%hx", &identity.vendor, &identity.product) == 2) continue;
        char *field = !strcmp(words[i], "label") ? identity.label : !strcmp(words[i], "phys") ? identity.phys
                    : !strcmp(words[i], "serial") ? identity.serial : NULL;
        if (!field) fail(2, "line %d: cannot use '%s=%s'", line_number, words[i], value);
        snprintf(field, sizeof identity.label, "%s", value);
    }
    for (char *c = identity.label; *c; c++)
        if (*c == '_') *c = ' ';
    plug(words[1], model, &identity);
    due = monotonic_nanos();
}

static void do_destroy(char **words) {
    unplug(device_named(word(words, 1)));
    due = monotonic_nanos();
}

static void do_down(char **words) { set_switch(words, true); }

static void do_up(char **words) { set_switch(words, false); }

static void do_tap(char **words) {
    int64_t held = millis(word(words, 3));
    set_switch(words, true);
    pass(held);
    set_switch(words, false);
}

static void do_bounce(char **words) {
    bool down = !strcmp(word(words, 3), "down");
    if (!down && strcmp(words[3], "up")) fail(2, "line %d: a bounce goes down or up", line_number);
    set_switch(words, down);
    int gaps = 0;
    for (; words[4 + gaps]; gaps++) {
        pass(millis(words[4 + gaps]));
        set_switch(words, down ^ !(gaps & 1));
    }
    if (gaps & 1) fail(2, "line %d: after an odd number of gaps a bounce ends on the wrong level", line_number);
}

static void do_move(char **words) {
    struct device *device = device_named(word(words, 1));
    unsigned axis = counted(word(words, 2), 1, device->model->axes);
    device->stance.axis[axis - 1] = (uint8_t)counted(word(words, 3), 0, 255);
    char what[32];
    snprintf(what, sizeof what, "move %u %u", axis, device->stance.axis[axis - 1]);
    send_stance(device, what);
}

static size_t hex(const char *text, uint8_t *bytes, size_t room) {
    size_t length = 0;
    const char *next = text;
    for (; length < room && sscanf(next, "%2hhx", &bytes[length]) == 1 && next[1]; next += 2) length++;
    if (*next || !length) fail(2, "line %d: '%s' is not as many bytes in hex as go here", line_number, text);
    return length;
}

static void do_raw(char **words) {
    uint8_t bytes[LONGEST_REPORT];
    size_t length = hex(word(words, 2), bytes, sizeof bytes);
    char what[16 + 2 * LONGEST_REPORT];
    snprintf(what, sizeof what, "raw %.*s", (int)(2 * length), words[2]);
    send_bytes(device_named(word(words, 1)), bytes, length, what);
}

static struct wire {
    char name[32];
    int fd; /* -1: there is none */
} wires[4] = {{.fd = -1}, {.fd = -1}, {.fd = -1}, {.fd = -1}};

static struct wire *wire_named(const char *name, bool free) {
    for (size_t i = 0; i < sizeof wires / sizeof *wires; i++)
        if (free ? wires[i].fd < 0 : wires[i].fd >= 0 && !strcmp(wires[i].name, name)) return &wires[i];
    fail(2, "line %d: %s '%s'", line_number, free ? "no room for wire" : "no wire", name);
}

static void do_wire(char **words) {
    struct wire *wire = wire_named(word(words, 1), true);
    wire->fd = open(word(words, 2), O_WRONLY | O_CLOEXEC);
    if (wire->fd < 0) fail(1, "%s: %s", words[2], strerror(errno));
    snprintf(wire->name, sizeof wire->name, "%s", words[1]);
}

static void do_cut(char **words) {
    struct wire *wire = wire_named(word(words, 1), false);
    close(wire->fd);
    wire->fd = -1;
}

static void do_send(char **words) {
    uint8_t bytes[256];
    struct wire *wire = wire_named(word(words, 1), false);
    size_t length = hex(word(words, 2), bytes, sizeof bytes);
    int64_t before = monotonic_nanos();
    if (write(wire->fd, bytes, length) != (ssize_t)length) fail(1, "%s: %s", words[1], strerror(errno));
    log_line("sent", before, words[1], words[2]);
}

static void do_put(char **words) {
    int fd = open(word(words, 1), O_WRONLY | O_CLOEXEC);
    char line[128];
    int length = snprintf(line, sizeof line, "%s\n", words[2] ? words[2] : "");
    int64_t before = monotonic_nanos();
    if (fd < 0 || write(fd, line, (size_t)length) < 0) fail(1, "%s: %s", words[1], strerror(errno));
    close(fd);
    log_line("put", before, "-", words[2] ? words[2] : "nothing");
    due = monotonic_nanos();
}

static void do_wait(char **words) { pass(millis(word(words, 1))); }

static void do_touch(char **words) {
    FILE *file = fopen(word(words, 1), "w");
    if (!file) fail(1, "%s: %s", words[1], strerror(errno));
    fclose(file);
}

static unsigned lines_with(char **wanted, const char *path) {
    FILE *file = fopen(path, "r");
    if (!file) return 0;
    unsigned lines = 0;
    char *line = NULL;
    size_t room = 0;
    while (getline(&line, &room, file) >= 0) {
        bool holds = true;
        for (int i = 0; wanted[i]; i++) holds &= strcasestr(line, wanted[i]) != NULL;
        lines += holds;
    }
    free(line);
    fclose(file);
    return lines;
}

static bool has_come(char **words) {
    glob_t found;
    if (glob(words[1], 0, NULL, &found)) return false;
    unsigned lines = 0, wanted = words[2] ? counted(words[2], 1, 1000000) : 0;
    for (size_t i = 0; wanted && i < found.gl_pathc; i++) lines += lines_with(words + 3, found.gl_pathv[i]);
    globfree(&found);
    return lines >= wanted;
}

static void do_await(char **words) {
    word(words, 1);
    int64_t patience = monotonic_nanos() + 180 * 1000000000LL;
    while (!has_come(words)) {
        if (monotonic_nanos() > patience) fail(3, "line %d: waited for three minutes in vain for %s", line_number, words[1]);
        serve_until(monotonic_nanos() + 20000000);
    }
    due = monotonic_nanos();
}

static void do_say(char **words) {
    char text[256] = "";
    for (int i = 1; words[i]; i++) {
        size_t used = strlen(text);
        snprintf(text + used, sizeof text - used, "%s%s", used ? " " : "", words[i]);
    }
    log_line("say", monotonic_nanos(), "-", text);
}

static const struct {
    const char *name;
    void (*act)(char **words);
} commands[] = {
    {"create", do_create}, {"destroy", do_destroy}, {"down", do_down},   {"up", do_up},       {"tap", do_tap},
    {"bounce", do_bounce}, {"move", do_move},       {"raw", do_raw},     {"wait", do_wait},   {"touch", do_touch},
    {"await", do_await},   {"say", do_say},         {"wire", do_wire},   {"cut", do_cut},
    {"send", do_send},     {"put", do_put},
};

static void play(char *line) {
    char *words[MOST_WORDS + 1] = {0}, *rest = NULL;
    int count = 0;
    line[strcspn(line, "#\r\n")] = 0;
    for (char *next = strtok_r(line, " \t", &rest); next && count < MOST_WORDS; next = strtok_r(NULL, " \t", &rest))
        words[count++] = next;
    if (!count) return;
    for (size_t i = 0; i < sizeof commands / sizeof *commands; i++)
        if (!strcmp(commands[i].name, words[0])) {
            commands[i].act(words);
            return;
        }
    fail(2, "line %d: no command '%s'", line_number, words[0]);
}

/* What is played must not wait behind what is tested. */
static void take_precedence(void) {
    struct sched_param priority = {.sched_priority = 10};
    if (sched_setscheduler(0, SCHED_FIFO, &priority)) perror("pedalsim: priority");
    prctl(PR_SET_TIMERSLACK, 1UL);
    mlockall(MCL_CURRENT | MCL_FUTURE);
}

int main(int argc, char **argv) {
    FILE *script = argc == 2 ? fopen(argv[1], "r") : NULL;
    if (!script) fail(2, "usage: pedalsim SCRIPT");
    setvbuf(stdout, NULL, _IOLBF, 0);
    take_precedence();
    due = monotonic_nanos();
    for (char line[512]; fgets(line, sizeof line, script);) {
        line_number++;
        play(line);
    }
    return 0;
}
