/*
 * Linear timecode by libltc (Debian: libltc-dev), a general-purpose library, as the reference for our own decoder.
 *
 *   ltc encode FPS SAMPLE_RATE HH MM SS FF FRAMES DROP   8-bit unsigned samples to standard output
 *   ltc decode FPS SAMPLE_RATE                           8-bit unsigned samples from standard input; a label a line,
 *                                                        with R before those that were read backwards
 */
#include <ltc.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static int encode(char **arg) {
    double fps = atof(arg[0]);
    double rate = atof(arg[1]);
    LTCEncoder *encoder = ltc_encoder_create(rate, fps, fps == 25 ? LTC_TV_625_50 : LTC_TV_525_60, 0);
    SMPTETimecode label;
    memset(&label, 0, sizeof label);
    strcpy(label.timezone, "+0000");
    label.hours = atoi(arg[2]);
    label.mins = atoi(arg[3]);
    label.secs = atoi(arg[4]);
    label.frame = atoi(arg[5]);
    ltc_encoder_set_timecode(encoder, &label);
    LTCFrame frame;
    ltc_encoder_get_frame(encoder, &frame);
    frame.dfbit = atoi(arg[7]);
    ltc_encoder_set_frame(encoder, &frame);
    int frames = atoi(arg[6]);
    for (int i = 0; i < frames; i++) {
        ltc_encoder_encode_frame(encoder);
        ltcsnd_sample_t *samples;
        int count = ltc_encoder_get_bufferptr(encoder, &samples, 1);
        fwrite(samples, 1, count, stdout);
        ltc_encoder_inc_timecode(encoder);
    }
    ltc_encoder_end_encode(encoder);
    ltcsnd_sample_t *samples;
    int count = ltc_encoder_get_bufferptr(encoder, &samples, 1);
    fwrite(samples, 1, count, stdout);
    ltc_encoder_free(encoder);
    return 0;
}

static int decode(char **arg) {
    LTCDecoder *decoder = ltc_decoder_create((int) (atof(arg[1]) / atof(arg[0])), 64);
    ltcsnd_sample_t samples[1024];
    ltc_off_t position = 0;
    size_t count;
    while ((count = fread(samples, 1, sizeof samples, stdin)) > 0) {
        ltc_decoder_write(decoder, samples, count, position);
        position += count;
        LTCFrameExt frame;
        while (ltc_decoder_read(decoder, &frame)) {
            SMPTETimecode label;
            ltc_frame_to_time(&label, &frame.ltc, 0);
            printf("%s%02d:%02d:%02d%c%02d\n", frame.reverse ? "R " : "", label.hours, label.mins, label.secs,
                   frame.ltc.dfbit ? ';' : ':', label.frame);
        }
    }
    ltc_decoder_free(decoder);
    return 0;
}

int main(int argc, char **argv) {
    if (argc == 10 && strcmp(argv[1], "encode") == 0) {
        return encode(argv + 2);
    }
    if (argc == 4 && strcmp(argv[1], "decode") == 0) {
        return decode(argv + 2);
    }
    fprintf(stderr, "see the top of the source\n");
    return 2;
}
