package instep.report;

import java.util.OptionalLong;

/**
 * How lengths of time are spread, in microseconds. However many there are, it takes the same memory: lengths that differ by less than a thirtieth may be told as one. Not
 * thread-safe.
 */
public final class Spread {
    /** Buckets in each doubling; below that many microseconds each has its own. */
    private static final int STEPS = 32;

    private static final int BITS = 5;

    private final long[] buckets = new long[STEPS * (64 - BITS)];
    private long count;
    private long greatest;

    /** One more; what is negative counts as none at all. */
    public void add(long micros) {
        long length = Math.max(0, micros);
        buckets[bucket(length)]++;
        count++;
        greatest = Math.max(greatest, length);
    }

    /** All of another one, too. */
    public void add(Spread other) {
        for (int bucket = 0; bucket < buckets.length; bucket++) {
            buckets[bucket] += other.buckets[bucket];
        }
        count += other.count;
        greatest = Math.max(greatest, other.greatest);
    }

    /** How many there are. */
    public long count() {
        return count;
    }

    /** The longest, exactly; empty if there is none. */
    public OptionalLong greatest() {
        return count == 0 ? OptionalLong.empty() : OptionalLong.of(greatest);
    }

    /**
     * A length that so many of a hundred do not exceed; empty if there is none.
     *
     * @param percent 1 to 100
     */
    public OptionalLong percentile(int percent) {
        if (count == 0) {
            return OptionalLong.empty();
        }
        long rank = Math.max(1, (count * percent + 99) / 100);
        int bucket = 0;
        for (long below = buckets[0]; below < rank; below += buckets[bucket]) {
            bucket++;
        }
        return OptionalLong.of(Math.min(greatest, upper(bucket)));
    }

    private static int bucket(long length) {
        if (length < STEPS) {
            return (int) length;
        }
        int doublings = 63 - Long.numberOfLeadingZeros(length) - BITS;
        return (doublings + 1) * STEPS + (int) (length >>> doublings) - STEPS;
    }

    /** The greatest length in a bucket. */
    private static long upper(int bucket) {
        if (bucket < STEPS) {
            return bucket;
        }
        int doublings = bucket / STEPS - 1;
        return ((bucket % STEPS + STEPS + 1L) << doublings) - 1;
    }
}
