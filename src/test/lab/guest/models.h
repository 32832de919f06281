/* The kinds of device that pedalsim can make: one table row each. */
#ifndef MODELS_H
#define MODELS_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

enum { MOST_AXES = 2, LONGEST_REPORT = 64 };

/* What the feet do to a device; a model turns it into a report. */
struct stance {
    uint32_t down;           /* bit 0 is switch 1 */
    uint8_t axis[MOST_AXES]; /* 128 is the middle */
    uint8_t reports;         /* how many were sent, for devices that count them */
};

struct model {
    const char *name;
    const char *label; /* what the device calls itself */
    uint16_t vendor, product;
    const uint8_t *descriptor;
    uint16_t descriptor_length;
    unsigned switches, axes;
    bool has_event_node; /* the kernel makes none of a vendor-defined page */
    size_t (*report)(const struct stance *, uint8_t report[LONGEST_REPORT]);
};

/* NULL if there is none of that name. */
const struct model *model_named(const char *name);

#endif
