package instep.clock;

import instep.time.Timecode;
import java.util.Random;

/** Linear timecode as a signal, and what tapes and cables do to it. */
public final class LtcSignal {
    /** The synchronizing word in the order in which it is sent (SMPTE ST 12-1, IEC 60461). */
    private static final String SYNC = "0011111111111101";

    private static final int SYNC_ZEROS =
            (int) SYNC.chars().filter(c -> c == '0').count();

    private LtcSignal() {}

    /** The 64 data bits of a label: BCD, and at 25 frames bit 59, else bit 27, such that the number of zeros in the 80 bits is even. */
    static long word(Timecode label) {
        int pairs = label.rate().counted() > 30 ? 2 : 1;
        String text = label.toString();
        long bits =
                bcd(two(text, 9) / pairs, 0) | bcd(two(text, 6), 16) | bcd(two(text, 3), 32) | bcd(two(text, 0), 48);
        if (label.rate().isDropFrame()) {
            bits |= 1L << 10;
        }
        int zeros = 64 - Long.bitCount(bits) + SYNC_ZEROS;
        boolean is25 = label.rate().counted() % 25 == 0;
        return zeros % 2 == 0 ? bits : bits | 1L << (is25 ? 59 : 27);
    }

    private static int two(String text, int at) {
        return (text.charAt(at) - '0') * 10 + text.charAt(at + 1) - '0';
    }

    private static long bcd(int number, int at) {
        return (long) (number % 10) << at | (long) (number / 10) << (at + 8);
    }

    /** Biphase mark: a change of level at the beginning of every bit, and one in the middle of a 1. */
    public static double[] encode(Timecode from, int words, double sampleRate, double wordRate) {
        double bit = sampleRate / wordRate / 80;
        double[] samples = new double[(int) Math.ceil((words * 80 + 2) * bit)];
        int step = from.rate().counted() > 30 ? 2 : 1;
        double level = -0.7;
        int at = 0;
        for (int word = 0; word < words; word++) {
            long data = word(from.plus((long) step * word));
            for (int i = 0; i < 80; i++) {
                boolean one = i < 64 ? (data >>> i & 1) != 0 : SYNC.charAt(i - 64) == '1';
                double begin = (word * 80 + i) * bit;
                level = -level;
                at = fill(samples, at, begin + bit / 2, level);
                level = one ? -level : level;
                at = fill(samples, at, begin + bit, level);
            }
        }
        fill(samples, at, samples.length, -level);
        return samples;
    }

    private static int fill(double[] samples, int from, double to, double level) {
        int at = from;
        while (at < to && at < samples.length) {
            samples[at++] = level;
        }
        return at;
    }

    /** The signal as bytes, at a fifth of full scale, with another sound in the channels beside it. */
    public static byte[] pcm(double[] signal, PcmFormat format) {
        int width = format.bits() / 8;
        byte[] bytes = new byte[signal.length * format.frameBytes()];
        int at = 0;
        for (int i = 0; i < signal.length; i++) {
            for (int channel = 1; channel <= format.channels(); channel++) {
                double sample = channel == format.channel() ? 0.2 * signal[i] : 0.5 * Math.sin(i * 0.3);
                long value = Math.round(sample * ((1L << (format.bits() - 1)) - 1));
                for (int b = 0; b < width; b++) {
                    bytes[at++] = (byte) (value >> (8 * b));
                }
            }
        }
        return bytes;
    }

    static double[] scaled(double[] signal, double factor, double offset) {
        double[] out = new double[signal.length];
        for (int i = 0; i < out.length; i++) {
            out[i] = signal[i] * factor + offset;
        }
        return out;
    }

    /** White noise with that ratio of root mean squares. */
    static double[] noisy(double[] signal, double decibels, long seed) {
        double power = 0;
        for (double sample : signal) {
            power += sample * sample;
        }
        double noise = Math.sqrt(power / signal.length) * Math.pow(10, -decibels / 20);
        Random random = new Random(seed);
        double[] out = new double[signal.length];
        for (int i = 0; i < out.length; i++) {
            out[i] = signal[i] + noise * random.nextGaussian();
        }
        return out;
    }

    /** Played at a speed that swings around a mean, as a worn tape does. */
    static double[] played(double[] signal, double speed, double wow, double wowSamples) {
        int length = (int) (signal.length / speed);
        double[] out = new double[length];
        double at = 0;
        for (int i = 0; i < length && at < signal.length - 1; i++) {
            int whole = (int) at;
            out[i] = signal[whole] + (signal[whole + 1] - signal[whole]) * (at - whole);
            at += speed * (1 + wow * Math.sin(2 * Math.PI * i / wowSamples));
        }
        return out;
    }

    static double[] backwards(double[] signal) {
        double[] out = new double[signal.length];
        for (int i = 0; i < out.length; i++) {
            out[i] = signal[signal.length - 1 - i];
        }
        return out;
    }
}
