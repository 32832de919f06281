/* onlooker: a reader that knows nothing of the program under test, and says what the kernel gives it.
 *
 *   onlooker NODE grab|look SECONDS
 *
 * It asks for the device for itself alone (event nodes only) and says whether that was "free" or "busy"; with "look" it
 * gives it back at once. Then it prints, until the time is over or the device is gone:
 *   event STAMP CODE VALUE    a key; the kernel's stamp in nanoseconds of CLOCK_MONOTONIC, its grain is a microsecond
 *   report NOW HEX            a raw report
 *   dropped                   the kernel threw events away
 *   gone ERROR                the device was unplugged */
#define _GNU_SOURCE
#include <errno.h>
#include <fcntl.h>
#include <linux/input.h>
#include <poll.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/ioctl.h>
#include <time.h>
#include <unistd.h>

static long long monotonic_nanos(void) {
    struct timespec now;
    clock_gettime(CLOCK_MONOTONIC, &now);
    return now.tv_sec * 1000000000LL + now.tv_nsec;
}

static void say_events(const struct input_event *events, size_t count) {
    for (size_t i = 0; i < count; i++) {
        const struct input_event *e = &events[i];
        if (e->type == EV_SYN && e->code == SYN_DROPPED) puts("dropped");
        if (e->type != EV_KEY) continue;
        long long stamp = e->input_event_sec * 1000000000LL + e->input_event_usec * 1000LL;
        printf("event %lld %d %d\n", stamp, e->code, e->value);
    }
}

static void say_report(const unsigned char *bytes, size_t length) {
    printf("report %lld ", monotonic_nanos());
    for (size_t i = 0; i < length; i++) printf("%02x", bytes[i]);
    putchar('\n');
}

int main(int argc, char **argv) {
    if (argc != 4) {
        fputs("usage: onlooker NODE grab|look SECONDS\n", stderr);
        return 2;
    }
    setvbuf(stdout, NULL, _IOLBF, 0);
    int fd = open(argv[1], O_RDONLY | O_NONBLOCK | O_CLOEXEC);
    if (fd < 0) {
        perror(argv[1]);
        return 1;
    }
    int has_events = strstr(argv[1], "/event") != NULL;
    if (has_events) {
        int clock = CLOCK_MONOTONIC; /* first of all: events that wait already would be thrown away */
        if (ioctl(fd, EVIOCSCLOCKID, &clock)) perror("clock");
        puts(ioctl(fd, EVIOCGRAB, 1) ? "busy" : "free");
        if (!strcmp(argv[2], "look")) ioctl(fd, EVIOCGRAB, 0);
    } else {
        puts("open");
    }
    long long end = monotonic_nanos() + (long long)(atof(argv[3]) * 1e9);
    for (long long left; (left = end - monotonic_nanos()) > 0;) {
        struct pollfd polled = {.fd = fd, .events = POLLIN};
        if (poll(&polled, 1, (int)(left / 1000000) + 1) <= 0) continue;
        union {
            struct input_event events[64];
            unsigned char bytes[4096];
        } room;
        ssize_t got = read(fd, &room, sizeof room);
        if (got < 0 && errno == EAGAIN) continue;
        if (got <= 0) {
            printf("gone %s\n", got ? strerrorname_np(errno) : "END");
            return 0;
        }
        if (has_events) say_events(room.events, (size_t)got / sizeof *room.events);
        else say_report(room.bytes, (size_t)got);
    }
    return 0;
}
