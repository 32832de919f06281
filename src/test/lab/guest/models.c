/* Report descriptors are written after the USB HID specification 1.11, section 6.2.2, with the numbers of the HID Usage
 * Tables 1.12; the keyboard has the layout of the specification's appendix B.1. Vendor 1209 is pid.codes, whose
 * product numbers are for projects of this kind. */
#include "models.h"

#include <string.h>

/* A foot switch that types: to the computer it is a keyboard. Reports: modifiers, reserved, six keys. */
static const uint8_t footswitch_descriptor[] = {
    0x05, 0x01,       /* usage page: generic desktop */
    0x09, 0x06,       /* usage: keyboard */
    0xA1, 0x01,       /* collection: application */
    0x05, 0x07,       /*   usage page: keyboard */
    0x19, 0xE0,       /*   usages: left control */
    0x29, 0xE7,       /*     to right GUI */
    0x15, 0x00,       /*   logical 0 */
    0x25, 0x01,       /*     to 1 */
    0x75, 0x01,       /*   1 bit */
    0x95, 0x08,       /*     times 8 */
    0x81, 0x02,       /*   input: variable */
    0x75, 0x08,       /*   8 bits */
    0x95, 0x01,       /*     once */
    0x81, 0x01,       /*   input: constant */
    0x19, 0x00,       /*   usages: none */
    0x29, 0x65,       /*     to application */
    0x25, 0x65,       /*   logical 0 to 101 */
    0x95, 0x06,       /*   six of 8 bits */
    0x81, 0x00,       /*   input: array */
    0xC0,
};

static size_t footswitch_report(const struct stance *stance, uint8_t *report) {
    const uint8_t usage_a = 0x04; /* keyboard page: a, b, c follow each other */
    size_t next = 2;
    for (unsigned key = 0; key < 6; key++)
        if (stance->down >> key & 1) report[next++] = (uint8_t)(usage_a + key);
    return 8;
}

/* A box of buttons: to the computer it is a joystick. Reports: X, Y, eight buttons. */
static const uint8_t buttonbox_descriptor[] = {
    0x05, 0x01,       /* usage page: generic desktop */
    0x09, 0x04,       /* usage: joystick */
    0xA1, 0x01,       /* collection: application */
    0x09, 0x30,       /*   usage: X */
    0x09, 0x31,       /*   usage: Y */
    0x15, 0x00,       /*   logical 0 */
    0x26, 0xFF, 0x00, /*     to 255 */
    0x75, 0x08,       /*   8 bits */
    0x95, 0x02,       /*     twice */
    0x81, 0x02,       /*   input: variable */
    0x05, 0x09,       /*   usage page: button */
    0x19, 0x01,       /*   usages: button 1 */
    0x29, 0x08,       /*     to button 8 */
    0x25, 0x01,       /*   logical 0 to 1 */
    0x75, 0x01,       /*   1 bit */
    0x95, 0x08,       /*     times 8 */
    0x81, 0x02,       /*   input: variable */
    0xC0,
};

static size_t buttonbox_report(const struct stance *stance, uint8_t *report) {
    report[0] = stance->axis[0];
    report[1] = stance->axis[1];
    report[2] = (uint8_t)stance->down;
    return 3;
}

/* A pedal on a page of its maker's own: hidraw only. Reports: switches 1-8, 9-16, five idle bytes, a running number. */
static const uint8_t vendor_descriptor[] = {
    0x06, 0x00, 0xFF, /* usage page: vendor-defined */
    0x09, 0x01,       /* usage: 1 */
    0xA1, 0x01,       /* collection: application */
    0x09, 0x02,       /*   usage: 2 */
    0x15, 0x00,       /*   logical 0 */
    0x26, 0xFF, 0x00, /*     to 255 */
    0x75, 0x08,       /*   8 bits */
    0x95, 0x08,       /*     times 8 */
    0x81, 0x02,       /*   input: variable */
    0xC0,
};

static size_t vendor_report(const struct stance *stance, uint8_t *report) {
    report[0] = (uint8_t)stance->down;
    report[1] = (uint8_t)(stance->down >> 8);
    report[7] = stance->reports;
    return 8;
}

/* A swell pedal with a dial and a hat: to the computer it is a joystick. Reports: Z, dial, hat of four directions. */
static const uint8_t swell_descriptor[] = {
    0x05, 0x01,       /* usage page: generic desktop */
    0x09, 0x04,       /* usage: joystick */
    0xA1, 0x01,       /* collection: application */
    0x09, 0x32,       /*   usage: Z */
    0x15, 0x00,       /*   logical 0 */
    0x26, 0xFF, 0x00, /*     to 255 */
    0x75, 0x08,       /*   8 bits */
    0x95, 0x01,       /*     once */
    0x81, 0x02,       /*   input: variable */
    0x09, 0x38,       /*   usage: wheel */
    0x15, 0x81,       /*   logical -127 */
    0x25, 0x7F,       /*     to 127 */
    0x81, 0x06,       /*   input: variable, relative */
    0x09, 0x39,       /*   usage: hat switch */
    0x15, 0x01,       /*   logical 1 */
    0x25, 0x08,       /*     to 8 */
    0x75, 0x08,       /*   8 bits */
    0x81, 0x42,       /*   input: variable, null state */
    0x05, 0x09,       /*   usage page: button */
    0x19, 0x01,       /*   usages: button 1 */
    0x29, 0x08,       /*     to button 8 */
    0x15, 0x00,       /*   logical 0 */
    0x25, 0x01,       /*     to 1 */
    0x75, 0x01,       /*   1 bit */
    0x95, 0x08,       /*     times 8 */
    0x81, 0x02,       /*   input: variable */
    0xC0,
};

static size_t swell_report(const struct stance *stance, uint8_t *report) {
    report[0] = stance->axis[0];
    report[3] = (uint8_t)stance->down;
    return 4;
}

/* A box on a page of its maker's own that numbers its reports. Report 1: eight buttons; report 2: a level; report 3, which
 * it is sent: eight lamps. */
static const uint8_t numbered_descriptor[] = {
    0x06, 0x00, 0xFF, /* usage page: vendor-defined */
    0x09, 0x01,       /* usage: 1 */
    0xA1, 0x01,       /* collection: application */
    0x85, 0x01,       /*   report 1 */
    0x05, 0x09,       /*   usage page: button */
    0x19, 0x01,       /*   usages: button 1 */
    0x29, 0x08,       /*     to button 8 */
    0x15, 0x00,       /*   logical 0 */
    0x25, 0x01,       /*     to 1 */
    0x75, 0x01,       /*   1 bit */
    0x95, 0x08,       /*     times 8 */
    0x81, 0x02,       /*   input: variable */
    0x85, 0x02,       /*   report 2 */
    0x06, 0x00, 0xFF, /*   usage page: vendor-defined */
    0x09, 0x02,       /*   usage: 2 */
    0x26, 0xFF, 0x00, /*   logical 0 to 255 */
    0x75, 0x08,       /*   8 bits */
    0x95, 0x01,       /*     once */
    0x81, 0x02,       /*   input: variable */
    0x85, 0x03,       /*   report 3 */
    0x05, 0x08,       /*   usage page: LEDs */
    0x09, 0x4B,       /*   usage: generic indicator */
    0x25, 0x01,       /*   logical 0 to 1 */
    0x75, 0x01,       /*   1 bit */
    0x95, 0x08,       /*     times 8 */
    0x91, 0x02,       /*   output: variable */
    0xC0,
};

static size_t numbered_report(const struct stance *stance, uint8_t *report) {
    report[0] = 1;
    report[1] = (uint8_t)stance->down;
    return 2;
}

#define DESCRIBED_BY(bytes) .descriptor = bytes, .descriptor_length = sizeof bytes

static const struct model models[] = {
    {.name = "footswitch", .label = "Lab foot switch", .vendor = 0x1209, .product = 0x2303, .switches = 6,
     .has_event_node = true, .report = footswitch_report, DESCRIBED_BY(footswitch_descriptor)},
    {.name = "buttonbox", .label = "Lab button box", .vendor = 0x1209, .product = 0x2304, .switches = 8, .axes = 2,
     .has_event_node = true, .report = buttonbox_report, DESCRIBED_BY(buttonbox_descriptor)},
    {.name = "vendor", .label = "Lab vendor pedal", .vendor = 0x1209, .product = 0xb0b0, .switches = 16,
     .report = vendor_report, DESCRIBED_BY(vendor_descriptor)},
    {.name = "swell", .label = "Lab swell pedal", .vendor = 0x1209, .product = 0x2305, .switches = 8, .axes = 1,
     .has_event_node = true, .report = swell_report, DESCRIBED_BY(swell_descriptor)},
    {.name = "numbered", .label = "Lab numbered box", .vendor = 0x1209, .product = 0xb0b1, .switches = 8,
     .report = numbered_report, DESCRIBED_BY(numbered_descriptor)},
};

const struct model *model_named(const char *name) {
    for (size_t i = 0; i < sizeof models / sizeof *models; i++)
        if (!strcmp(models[i].name, name)) return &models[i];
    return NULL;
}
