package instep.gear;

import java.util.concurrent.TimeUnit;
import java.util.function.DoubleSupplier;

/**
 * How long to wait before the next attempt: from a tenth of a second, doubling, to five seconds. Each wait is shortened at random by up to
 * half, so that devices on one switched-off strip are not all called in the same instant.
 */
final class Backoff {
    private static final long FIRST_NANOS = TimeUnit.MILLISECONDS.toNanos(100);
    private static final long LONGEST_NANOS = TimeUnit.SECONDS.toNanos(5);

    private final DoubleSupplier random;
    private long wholeNanos = FIRST_NANOS;

    /** Takes its jitter from {@code random}, which gives numbers from 0 to 1. */
    Backoff(DoubleSupplier random) {
        this.random = random;
    }

    long nextNanos() {
        long half = wholeNanos / 2;
        wholeNanos = Math.min(LONGEST_NANOS, wholeNanos * 2);
        return half + (long) (half * random.getAsDouble());
    }

    void reset() {
        wholeNanos = FIRST_NANOS;
    }
}
