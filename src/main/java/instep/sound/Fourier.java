package instep.sound;

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

    /** The same with all pitches of speech as strong as one another, so that its peak is narrow and nobody's timbre matters. */
    static double[] whitened(float[] a, float[] b) {
        double[][] product = product(a, b);
        int size = product[0].length;
        double most = 0;
        for (int i = 0; i < size; i++) {
            most = Math.max(most, Math.hypot(product[0][i], product[1][i]));
        }
        for (int i = 0; i < size; i++) {
            double pitch = Math.min(i, size - i) * (double) Heard.RATE / size;
            double length = Math.hypot(product[0][i], product[1][i]);
            boolean heard = pitch >= LOWEST && pitch <= HIGHEST && length > most * 1e-12;
            product[0][i] = heard ? product[0][i] / length : 0;
            product[1][i] = heard ? product[1][i] / length : 0;
        }
        BACK.transformInPlace(product);
        return product[0];
    }

    private static double[][] product(float[] a, float[] b) {
        int size = Math.max(2, Integer.highestOneBit(a.length + b.length - 1) << 1);
        double[][] first = transformed(a, size);
        double[][] second = transformed(b, size);
        for (int i = 0; i < size; i++) {
            double real = first[0][i] * second[0][i] + first[1][i] * second[1][i];
            first[1][i] = first[1][i] * second[0][i] - first[0][i] * second[1][i];
            first[0][i] = real;
        }
        return first;
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
