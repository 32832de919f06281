package instep.sound;

import java.util.Arrays;
import org.apache.commons.math4.transform.FastFourierTransform;

/** Correlation by way of the fast Fourier transform, which Apache Commons Math does. */
final class Fourier {
    private static final FastFourierTransform FORWARD = new FastFourierTransform(FastFourierTransform.Norm.STD);
    private static final FastFourierTransform BACK = new FastFourierTransform(FastFourierTransform.Norm.STD, true);
    /** Whitened correlation looks at what microphones hear alike, in hertz. */
    private static final double LOWEST = 100;

    private static final double HIGHEST = 4_000;

    private Fourier() {}

    /**
     * How alike two series are at each lag: the value at {@code lag} is the sum of {@code a[i + lag] * b[i]}, that of a negative lag stands at the end, counted backwards.
     */
    static double[] correlation(float[] a, float[] b) {
        double[][] product = product(a, b);
        BACK.transformInPlace(product);
        return product[0];
    }

    /**
     * The same with all pitches of speech as strong as one another, so that its peak is narrow and nobody's timbre matters. Steady tones are left out: one is alike wherever it is heard, and tells nothing about
     * a place.
     *
     * @param a longer than {@code b} by what the lags may be
     */
    static double[] whitened(float[] a, float[] b) {
        int size = size(a, b);
        double[][] first = transformed(tapered(a, Math.max(1, (a.length - b.length) / 2)), size);
        double[][] second = transformed(tapered(b, b.length / 2), size);
        boolean[] tells = new boolean[size];
        Arrays.fill(tells, pitch(LOWEST, size), Math.min(size / 2, pitch(HIGHEST, size) + 1), true);
        Tones.leaveOut(first, tells);
        Tones.leaveOut(second, tells);
        multiply(first, second);
        for (int i = 0; i < size; i++) {
            double length = Math.hypot(first[0][i], first[1][i]);
            boolean heard = tells[Math.min(i, size - i)] && length > 0;
            first[0][i] = heard ? first[0][i] / length : 0;
            first[1][i] = heard ? first[1][i] / length : 0;
        }
        BACK.transformInPlace(first);
        return first[0];
    }

    private static int pitch(double hertz, int size) {
        return (int) (hertz * size / Heard.RATE);
    }

    /** Faded in and out along a Blackman-Harris window (F. J. Harris, Proceedings of the IEEE 66, 1978), so that the ends of a tone do not sound at all pitches: beside the tone it stays below -92 dB. */
    private static float[] tapered(float[] values, int flank) {
        float[] tapered = values.clone();
        for (int i = 0; i < flank; i++) {
            double phase = Math.PI * (i + 0.5) / flank;
            double weight =
                    0.35875 - 0.48829 * Math.cos(phase) + 0.14128 * Math.cos(2 * phase) - 0.01168 * Math.cos(3 * phase);
            tapered[i] *= (float) weight;
            tapered[values.length - 1 - i] *= (float) weight;
        }
        return tapered;
    }

    private static int size(float[] a, float[] b) {
        return Math.max(2, Integer.highestOneBit(a.length + b.length - 1) << 1);
    }

    private static double[][] product(float[] a, float[] b) {
        int size = size(a, b);
        double[][] first = transformed(a, size);
        multiply(first, transformed(b, size));
        return first;
    }

    /** Each value by the conjugate of the other one. */
    private static void multiply(double[][] first, double[][] second) {
        for (int i = 0; i < first[0].length; i++) {
            double real = first[0][i] * second[0][i] + first[1][i] * second[1][i];
            first[1][i] = first[1][i] * second[0][i] - first[0][i] * second[1][i];
            first[0][i] = real;
        }
    }

    private static double[][] transformed(float[] values, int size) {
        double[][] both = new double[2][size];
        for (int i = 0; i < values.length; i++) {
            both[0][i] = values[i];
        }
        FORWARD.transformInPlace(both);
        return both;
    }
}
