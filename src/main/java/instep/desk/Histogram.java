package instep.desk;

import java.util.Arrays;

/** How many times fell into which of some ranges. Immutable. */
public final class Histogram {
    /** The upper ends of the ranges, in microseconds; the last range has none. */
    static final long[] BOUNDS = {
        100, 200, 300, 500, 750, 1_000, 2_000, 5_000, 10_000, 20_000, 50_000, 100_000, 500_000, 1_000_000
    };

    /** Nothing yet. */
    public static final Histogram NONE = new Histogram(new long[BOUNDS.length + 1], 0);

    private final long[] counts;
    private final long micros;

    private Histogram(long[] counts, long micros) {
        this.counts = counts;
        this.micros = micros;
    }

    /** The same with one more time, in microseconds. */
    public Histogram plus(long one) {
        int range = Arrays.binarySearch(BOUNDS, one);
        long[] more = counts.clone();
        more[range < 0 ? -range - 1 : range]++;
        return new Histogram(more, micros + one);
    }

    /** How many times were at most the upper end of that range; for the last one, how many there were at all. */
    long upTo(int range) {
        long sum = 0;
        for (int i = 0; i <= range; i++) {
            sum += counts[i];
        }
        return sum;
    }

    /** All times together, in microseconds. */
    long sum() {
        return micros;
    }
}
