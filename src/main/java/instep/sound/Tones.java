package instep.sound;

import java.util.Arrays;

/** Steady tones in a spectrum: narrow lines that stand far above what is around them. Hum of the mains and its harmonics, a fan, a test tone; speech moves. */
final class Tones {
    /** Values that are looked at together. */
    private static final int BLOCK = 512;
    /** A line is so many times as strong as the median of its block: noise comes to that once in ten million values. */
    private static final double STANDS_OUT = 5;
    /** As wide is the foot of a line to either side, in values. */
    private static final int FOOT = 24;
    /** What is weaker, as a part of the strongest value, is what the taper leaves of lines (-92 dB), and no sound. */
    private static final double FAINTEST = 4e-5;

    private Tones() {}

    /** Takes away from the values that tell something those that belong to tones. */
    static void leaveOut(double[][] spectrum, boolean[] tells) {
        int half = spectrum[0].length / 2;
        double[] strength = new double[half];
        double most = 0;
        for (int i = 0; i < half; i++) {
            strength[i] = Math.hypot(spectrum[0][i], spectrum[1][i]);
            most = Math.max(most, strength[i]);
        }
        for (int from = 0; from < half; from += BLOCK) {
            int to = Math.min(half, from + BLOCK);
            double[] sorted = Arrays.copyOfRange(strength, from, to);
            Arrays.sort(sorted);
            double line = STANDS_OUT * sorted[sorted.length / 2];
            for (int i = from; i < to; i++) {
                if (strength[i] < FAINTEST * most) {
                    tells[i] = false;
                } else if (strength[i] > line) {
                    Arrays.fill(tells, Math.max(0, i - FOOT), Math.min(half, i + FOOT + 1), false);
                }
            }
        }
    }
}
