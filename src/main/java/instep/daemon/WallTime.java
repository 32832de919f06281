package instep.daemon;

import java.time.ZoneId;
import java.util.function.LongUnaryOperator;
import org.jspecify.annotations.Nullable;

/** The time on the studio's clock. Loop thread only, but for {@link #at}, which any thread may ask. */
public interface WallTime {
    /** Nanoseconds since 1970-01-01T00:00:00Z at a monotonic instant. */
    long at(long nanos);

    /** Whose time of day counts. */
    ZoneId zone();

    /** Looks whether the clock has been set since the last time it was asked, by how many nanoseconds (forward: positive); what it was set to counts from that instant on. */
    default long setSince(long nanos) {
        return 0;
    }

    /** The name of the boot whose monotonic time it goes by; null if its time is another. */
    default @Nullable String boot() {
        return null;
    }

    /** Whether it follows a time server, in the word of the journal; null if nobody knows. */
    default @Nullable String state() {
        return null;
    }

    /** By how much it can be wrong at most; negative: nobody knows. */
    default long uncertaintyMicros() {
        return -1;
    }

    /** A clock that nobody sets. */
    static WallTime of(ZoneId zone, LongUnaryOperator wallAt) {
        return new WallTime() {
            @Override
            public long at(long nanos) {
                return wallAt.applyAsLong(nanos);
            }

            @Override
            public ZoneId zone() {
                return zone;
            }
        };
    }
}
