package instep.journal;

import org.jspecify.annotations.Nullable;

/**
 * How well timecode is known where a {@code sync} record says that it counts from there; what is not known is negative or null.
 *
 * @param clock whether the system's clock is {@code synchronized} or {@code unsynchronized}
 * @param uncertaintyMicros a frame begins at most so much earlier or later
 * @param ageMicros how long ago something was heard that says so
 * @param ratePpm by how many millionths the source runs faster than the monotonic clock
 */
public record SyncQuality(
        @Nullable String clock,
        long uncertaintyMicros,
        long ageMicros,
        @Nullable Long ratePpm) {
    /** Nothing is known. */
    public static final SyncQuality UNKNOWN = new SyncQuality(null, -1, -1, null);
}
