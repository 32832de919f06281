package instep.clock;

import java.time.Instant;
import java.util.function.LongSupplier;

/**
 * The wall clock seen from monotonic time: one offset, measured when it is asked for and held until the next time. So the wall
 * times of two records differ by exactly what lies between them, even when the system's clock is set in between. Both clocks are slewed alike by who keeps the system's time, so
 * that only setting it changes the offset. Safe for use by several threads.
 */
public final class WallClock {
    private static final long NANOS_PER_SECOND = 1_000_000_000L;
    private static final int TRIES = 5;

    private final LongSupplier mono;
    private final LongSupplier wall;
    private volatile Stretch stretch;

    /** From {@code since} on, {@code offset} is added; {@code before} up to there. */
    private record Stretch(long since, long offset, long before) {}

    /** Of two clocks that count nanoseconds, measured now; {@code wall} since 1970-01-01T00:00:00Z. Both may be asked from several threads. */
    public WallClock(LongSupplier mono, LongSupplier wall) {
        this.mono = mono;
        this.wall = wall;
        long offset = measured();
        this.stretch = new Stretch(Long.MIN_VALUE, offset, offset);
    }

    /** The system's clocks, measured now. */
    public static WallClock ofSystem() {
        return new WallClock(System::nanoTime, WallClock::systemNanos);
    }

    /** Nanoseconds since 1970-01-01T00:00:00Z at a monotonic instant. */
    public long wallAt(long nanos) {
        Stretch now = stretch;
        return nanos + (nanos >= now.since() ? now.offset() : now.before());
    }

    /**
     * Measures again, and tells by how many nanoseconds the wall clock has been set since the last time (forward: positive); 0 if that is less than the noise.
     *
     * @param since the instant from which on the new time counts
     */
    public long measure(long since, long noiseNanos) {
        long before = stretch.offset();
        long offset = measured();
        if (Math.abs(offset - before) < noiseNanos) {
            return 0;
        }
        stretch = new Stretch(since, offset, before);
        return offset - before;
    }

    static Instant instant(long epochNanos) {
        return Instant.ofEpochSecond(
                Math.floorDiv(epochNanos, NANOS_PER_SECOND), Math.floorMod(epochNanos, NANOS_PER_SECOND));
    }

    /** The closest of a few pairs of readings: a thread that is put aside between the two would spoil a single one. */
    private long measured() {
        long best = 0;
        long closest = Long.MAX_VALUE;
        for (int i = 0; i < TRIES; i++) {
            long before = mono.getAsLong();
            long at = wall.getAsLong();
            long width = mono.getAsLong() - before;
            if (width < closest) {
                closest = width;
                best = at - (before + width / 2);
            }
        }
        return best;
    }

    private static long systemNanos() {
        Instant now = Instant.now();
        return now.getEpochSecond() * NANOS_PER_SECOND + now.getNano();
    }
}
