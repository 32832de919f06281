package instep.sound;

import java.io.IOException;
import java.util.Optional;

/**
 * A piece that two sounds have in common.
 *
 * @param here its middle in the one, in seconds
 * @param there its middle in the other
 * @param confidence from 0 to 1: how far this place stands out from the next best
 */
record Excerpt(double here, double there, double confidence) {
    /** So far off the lag that the outlines give a piece may lie, in samples: outlines are coarse, and clocks drift. */
    private static final int MARGIN = Heard.RATE / 2;
    /** Another place lies further off than that, in samples. */
    private static final int APART = Heard.RATE / 20;
    /** A peak is as wide as that to either side, in samples: over a piece, clocks drift. */
    private static final int WIDTH = 8;
    /** What is below is no sound, as a mean square: 70 dB under full scale. */
    private static final double SILENCE = 1e-7;

    /**
     * Looks for a piece in another sound; empty where one is silent or nothing but tones.
     *
     * @param from where the piece begins
     * @param lag so many samples after the one the other sound begins, about
     */
    static Optional<Excerpt> of(float[] piece, Heard other, long from, long lag) throws IOException {
        float[] there = other.piece(from - lag - MARGIN, piece.length + 2 * MARGIN);
        if (power(piece) < SILENCE || power(there) < SILENCE) {
            return Optional.empty();
        }
        double[] peaks = smoothed(Fourier.whitened(there, piece));
        int best = greatest(peaks, -1);
        int next = greatest(peaks, best);
        if (peaks[best] <= 0) {
            return Optional.empty();
        }
        double shift = best + between(peaks, best);
        double middle = piece.length / 2.0;
        double confidence = 1 - Math.sqrt(peaks[next] / peaks[best]);
        return Optional.of(new Excerpt(
                (from + middle) / Heard.RATE, (from - lag - MARGIN + shift + middle) / Heard.RATE, confidence));
    }

    private static double power(float[] samples) {
        double sum = 0;
        for (float sample : samples) {
            sum += sample * (double) sample;
        }
        return sum / samples.length;
    }

    /** The energy around each lag within the margins: a peak may be turned over, or spread a little. */
    private static double[] smoothed(double[] alike) {
        int lags = 2 * MARGIN + 1;
        double[] sums = new double[lags];
        double sum = 0;
        for (int i = 0; i < lags; i++) {
            sum += alike[i] * alike[i];
            if (i > 2 * WIDTH) {
                sum -= alike[i - 2 * WIDTH - 1] * alike[i - 2 * WIDTH - 1];
            }
            if (i >= WIDTH) {
                sums[i - WIDTH] = Math.max(0, sum);
            }
        }
        return sums;
    }

    /** Where the greatest is that is no neighbour of another place. */
    private static int greatest(double[] values, int other) {
        int best = other == 0 ? values.length - 1 : 0;
        for (int i = 0; i < values.length; i++) {
            if (values[i] > values[best] && (other < 0 || Math.abs(i - other) > APART)) {
                best = i;
            }
        }
        return best;
    }

    /** The middle of the peak, since its top is flat. */
    private static double between(double[] peaks, int best) {
        double weights = 0;
        double moments = 0;
        for (int i = Math.max(0, best - 2 * WIDTH); i <= Math.min(peaks.length - 1, best + 2 * WIDTH); i++) {
            double weight = Math.max(0, peaks[i] - peaks[best] / 2);
            weights += weight;
            moments += weight * (i - best);
        }
        return weights == 0 ? 0 : moments / weights;
    }
}
