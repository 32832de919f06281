/* ear: writes down what a sound input hears, as long as the program runs.
 *
 *   ear NODE      such as /dev/snd/pcmC0D1c
 *
 * Standard output: 48,000 frames a second of two samples, left and right, 16 bits each, least significant byte first.
 * The first line on standard error is "BEFORE AFTER": nanoseconds of CLOCK_MONOTONIC around the call that starts the
 * input, so the first frame is of a time between them. Ends with 1, and says why, if the kernel refuses or frames are
 * lost. */
#define _GNU_SOURCE
#include <errno.h>
#include <fcntl.h>
#include <limits.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>
#include <sys/ioctl.h>
#include <time.h>
#include <unistd.h>

#include <sound/asound.h>

enum { RATE = 48000, CHANNELS = 2, PERIOD = 480 };

static int64_t now(void) {
    struct timespec at;
    clock_gettime(CLOCK_MONOTONIC, &at);
    return at.tv_sec * 1000000000LL + at.tv_nsec;
}

static void only(struct snd_pcm_hw_params *wish, int parameter, unsigned value) {
    struct snd_interval *interval = &wish->intervals[parameter - SNDRV_PCM_HW_PARAM_FIRST_INTERVAL];
    *interval = (struct snd_interval){.min = value, .max = value, .integer = 1};
}

static void only_bit(struct snd_pcm_hw_params *wish, int parameter, unsigned bit) {
    struct snd_mask *mask = &wish->masks[parameter - SNDRV_PCM_HW_PARAM_FIRST_MASK];
    *mask = (struct snd_mask){.bits = {1U << bit}};
}

/* What is left open, such as the length of the buffer, is as long as the card has it. */
static int shape(int fd) {
    struct snd_pcm_hw_params wish = {.rmask = UINT_MAX, .info = UINT_MAX};
    memset(wish.masks, 0xff, sizeof wish.masks);
    for (size_t i = 0; i < sizeof wish.intervals / sizeof *wish.intervals; i++) wish.intervals[i].max = UINT_MAX;
    only_bit(&wish, SNDRV_PCM_HW_PARAM_ACCESS, (unsigned)SNDRV_PCM_ACCESS_RW_INTERLEAVED);
    only_bit(&wish, SNDRV_PCM_HW_PARAM_FORMAT, (unsigned)SNDRV_PCM_FORMAT_S16_LE);
    only(&wish, SNDRV_PCM_HW_PARAM_CHANNELS, CHANNELS);
    only(&wish, SNDRV_PCM_HW_PARAM_RATE, RATE);
    only(&wish, SNDRV_PCM_HW_PARAM_PERIOD_SIZE, PERIOD);
    return ioctl(fd, SNDRV_PCM_IOCTL_HW_PARAMS, &wish);
}

static int fail(const char *what) {
    fprintf(stderr, "ear: %s: %s\n", what, strerror(errno));
    return 1;
}

int main(int count, char **words) {
    if (count != 2) {
        fputs("ear NODE\n", stderr);
        return 2;
    }
    int fd = open(words[1], O_RDONLY | O_CLOEXEC);
    if (fd < 0) return fail(words[1]);
    if (shape(fd)) return fail("HW_PARAMS");
    if (ioctl(fd, SNDRV_PCM_IOCTL_PREPARE)) return fail("PREPARE");
    int64_t before = now();
    if (ioctl(fd, SNDRV_PCM_IOCTL_START)) return fail("START");
    fprintf(stderr, "%lld %lld\n", (long long)before, (long long)now());
    for (;;) {
        int16_t heard[PERIOD * CHANNELS];
        struct snd_xferi period = {.buf = heard, .frames = PERIOD};
        if (ioctl(fd, SNDRV_PCM_IOCTL_READI_FRAMES, &period)) return fail("READI_FRAMES");
        size_t length = (size_t)period.result * CHANNELS * sizeof *heard;
        if (write(STDOUT_FILENO, heard, length) != (ssize_t)length) return fail("write");
    }
}
