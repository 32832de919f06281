/* Devices that exist only in /dev/uhid; to the kernel above it they are real. */
#ifndef DEVICE_H
#define DEVICE_H

#include "models.h"

#include <poll.h>

enum { MOST_DEVICES = 16 };

/* What may be said of a device when it is made; what is not said comes from its model. */
struct identity {
    uint16_t vendor, product;
    char label[64], phys[64], serial[64];
};

struct device {
    char name[32];
    const struct model *model;
    int fd; /* -1: not plugged in */
    bool started;
    struct stance stance;
    char sysfs[320];
};

int64_t monotonic_nanos(void);

/* Ends the program with a sentence. */
void fail(int status, const char *format, ...) __attribute__((format(printf, 2, 3), noreturn));

struct device *device_named(const char *name);

/* Plugs a device in and returns when its nodes are there. Logs them. */
void plug(const char *name, const struct model *model, const struct identity *identity);

void unplug(struct device *device);

/* Sends the device's stance, or any bytes, as one report. Logs the time before and after: the kernel stamps between. */
void send_stance(struct device *device, const char *what);
void send_bytes(struct device *device, const uint8_t *bytes, size_t length, const char *what);

/* Sleeps until the time, and answers what the kernel asks the devices meanwhile. */
void serve_until(int64_t nanos);

/* One line of the log: what, time before, time after, device, and the rest. */
void log_line(const char *what, int64_t before, const char *device, const char *rest);

#endif
