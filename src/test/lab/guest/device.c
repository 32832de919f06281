#define _GNU_SOURCE
#include "device.h"

#include <errno.h>
#include <fcntl.h>
#include <glob.h>
#include <linux/input.h>
#include <linux/uhid.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>
#include <unistd.h>

static const int64_t MILLI = 1000000, SECOND = 1000000000;
static struct device devices[MOST_DEVICES];
static size_t device_count;

int64_t monotonic_nanos(void) {
    struct timespec now;
    clock_gettime(CLOCK_MONOTONIC, &now);
    return now.tv_sec * SECOND + now.tv_nsec;
}

void fail(int status, const char *format, ...) {
    va_list rest;
    va_start(rest, format);
    fputs("pedalsim: ", stderr);
    vfprintf(stderr, format, rest);
    fputc('\n', stderr);
    va_end(rest);
    exit(status);
}

void log_line(const char *what, int64_t before, const char *device, const char *rest) {
    printf("%s %lld %lld %s %s\n", what, (long long)before, (long long)monotonic_nanos(), device, rest);
}

struct device *device_named(const char *name) {
    for (size_t i = 0; i < device_count; i++)
        if (devices[i].fd >= 0 && !strcmp(devices[i].name, name)) return &devices[i];
    fail(2, "no device '%s' is plugged in", name);
}

static void tell_kernel(struct device *device, const struct uhid_event *event, size_t length) {
    if (write(device->fd, event, length) < 0) fail(1, "%s: write to /dev/uhid: %s", device->name, strerror(errno));
}

static void log_output(const struct device *device, const struct uhid_output_req *output) {
    char hex[2 * LONGEST_REPORT + 1] = "";
    for (size_t i = 0; i < output->size && i < LONGEST_REPORT; i++) sprintf(hex + 2 * i, "%02x", output->data[i]);
    log_line("output", monotonic_nanos(), device->name, hex);
}

/* A question that is not answered keeps its asker waiting for five seconds. */
static void answer(struct device *device) {
    struct uhid_event asked = {0}, reply = {0};
    if (read(device->fd, &asked, sizeof asked) < 0) return;
    switch (asked.type) {
    case UHID_START: device->started = true; break;
    case UHID_STOP: device->started = false; break;
    case UHID_GET_REPORT:
        reply.type = UHID_GET_REPORT_REPLY;
        reply.u.get_report_reply.id = asked.u.get_report.id;
        reply.u.get_report_reply.err = EIO;
        tell_kernel(device, &reply, sizeof reply);
        break;
    case UHID_SET_REPORT:
        reply.type = UHID_SET_REPORT_REPLY;
        reply.u.set_report_reply.id = asked.u.set_report.id;
        tell_kernel(device, &reply, sizeof reply);
        break;
    case UHID_OUTPUT: log_output(device, &asked.u.output); break;
    default: break; /* opened or closed: nothing to say */
    }
}

void serve_until(int64_t nanos) {
    for (int64_t left; (left = nanos - monotonic_nanos()) > 0;) {
        struct pollfd polled[MOST_DEVICES];
        for (size_t i = 0; i < device_count; i++) polled[i] = (struct pollfd){.fd = devices[i].fd, .events = POLLIN};
        struct timespec wait = {left / SECOND, left % SECOND};
        if (ppoll(polled, device_count, &wait, NULL) <= 0) continue;
        for (size_t i = 0; i < device_count; i++)
            if (polled[i].revents & POLLIN) answer(&devices[i]);
    }
}

/* Where the kernel shows the device that is plugged in there; of several the newest, whose number is the highest. */
static bool find_in_sysfs(struct device *device, const char *phys) {
    char wanted[96], line[256];
    glob_t found;
    bool seen = false;
    snprintf(wanted, sizeof wanted, "HID_PHYS=%s\n", phys);
    if (glob("/sys/bus/hid/devices/*/uevent", 0, NULL, &found)) return false;
    for (size_t i = 0; i < found.gl_pathc; i++) {
        FILE *file = fopen(found.gl_pathv[i], "r");
        if (!file) continue;
        while (fgets(line, sizeof line, file))
            if (!strcmp(line, wanted)) {
                snprintf(device->sysfs, sizeof device->sysfs, "%s", found.gl_pathv[i]);
                *strrchr(device->sysfs, '/') = 0;
                seen = true;
            }
        fclose(file);
    }
    globfree(&found);
    return seen;
}

/* Appends the nodes of one sort to the text; false if there is none yet. */
static bool find_nodes(const struct device *device, const char *below, const char *dev, char *text, size_t room) {
    char pattern[400];
    glob_t found;
    snprintf(pattern, sizeof pattern, "%s/%s", device->sysfs, below);
    if (glob(pattern, 0, NULL, &found)) return false;
    bool there = true;
    for (size_t i = 0; i < found.gl_pathc; i++) {
        char node[300];
        snprintf(node, sizeof node, "%s/%s", dev, strrchr(found.gl_pathv[i], '/') + 1);
        there &= !access(node, F_OK);
        size_t used = strlen(text);
        snprintf(text + used, room - used, "%s%s", used ? " " : "", node);
    }
    globfree(&found);
    return there;
}

static bool nodes_are_there(struct device *device, const char *phys, char *text, size_t room) {
    text[0] = 0;
    if (!find_in_sysfs(device, phys)) return false;
    if (device->model->has_event_node && !find_nodes(device, "input/input*/event*", "/dev/input", text, room)) return false;
    return find_nodes(device, "hidraw/hidraw*", "/dev", text, room);
}

static struct device *vacant(void) {
    for (size_t i = 0; i < device_count; i++)
        if (devices[i].fd < 0) return &devices[i];
    if (device_count == MOST_DEVICES) fail(2, "more than %d devices at a time", MOST_DEVICES);
    return &devices[device_count++];
}

void plug(const char *name, const struct model *model, const struct identity *identity) {
    struct device *device = vacant();
    int64_t before = monotonic_nanos(), patience = before + 5 * SECOND;
    *device = (struct device){.model = model, .stance.axis = {128, 128}};
    snprintf(device->name, sizeof device->name, "%s", name);
    device->fd = open("/dev/uhid", O_RDWR | O_NONBLOCK | O_CLOEXEC);
    if (device->fd < 0) fail(1, "/dev/uhid: %s", strerror(errno));

    struct uhid_event event = {.type = UHID_CREATE2};
    struct uhid_create2_req *made = &event.u.create2;
    snprintf((char *)made->name, sizeof made->name, "%s", identity->label);
    snprintf((char *)made->phys, sizeof made->phys, "%s", identity->phys);
    snprintf((char *)made->uniq, sizeof made->uniq, "%s", identity->serial);
    made->bus = BUS_USB;
    made->vendor = identity->vendor;
    made->product = identity->product;
    made->rd_size = model->descriptor_length;
    memcpy(made->rd_data, model->descriptor, model->descriptor_length);
    tell_kernel(device, &event, sizeof event);

    char nodes[256];
    while (!device->started || !nodes_are_there(device, identity->phys, nodes, sizeof nodes)) {
        if (monotonic_nanos() > patience) fail(1, "%s: the kernel made no nodes in 5 s (seen: %s)", name, nodes);
        serve_until(monotonic_nanos() + MILLI);
    }
    log_line("plug", before, name, nodes);
}

void unplug(struct device *device) {
    int64_t before = monotonic_nanos();
    struct uhid_event event = {.type = UHID_DESTROY};
    tell_kernel(device, &event, sizeof event.type);
    close(device->fd);
    device->fd = -1;
    log_line("unplug", before, device->name, "-");
}

void send_bytes(struct device *device, const uint8_t *bytes, size_t length, const char *what) {
    struct uhid_event event = {.type = UHID_INPUT2, .u.input2.size = (uint16_t)length};
    memcpy(event.u.input2.data, bytes, length);
    int64_t before = monotonic_nanos();
    tell_kernel(device, &event, offsetof(struct uhid_event, u.input2.data) + length);
    log_line("report", before, device->name, what);
    device->stance.reports++;
}

void send_stance(struct device *device, const char *what) {
    uint8_t report[LONGEST_REPORT] = {0};
    size_t length = device->model->report(&device->stance, report);
    send_bytes(device, report, length, what);
}
