package instep.journal;

import java.util.OptionalLong;
import org.jspecify.annotations.Nullable;

/** The record of what timecode counts from: written, and how well it was known read back. */
public final class SyncRecord {
    private SyncRecord() {}

    /**
     * Timecode counts from here: at the record's instant its frame began.
     *
     * @param wall that instant's RFC 3339 wall time
     * @param quality how well that is known
     */
    public static Happening of(String source, @Nullable String wall, SyncQuality quality) {
        return sync(source, wall, null, -1, quality);
    }

    /** What has become of timecode from outside; its frame began at the instant {@code began}, from where all frames count. */
    public static Happening chased(String source, String state, long began, SyncQuality quality) {
        return sync(source, null, state, began, quality);
    }

    private static Happening sync(
            String source, @Nullable String wall, @Nullable String state, long began, SyncQuality quality) {
        return new Happening(
                Kind.SYNC,
                Key.SOURCE,
                source,
                Key.WALL,
                wall,
                Key.STATE,
                state,
                Key.BEGAN,
                Happening.some(began),
                Key.CLOCK,
                quality.clock(),
                Key.UNCERTAINTY_US,
                Happening.some(quality.uncertaintyMicros()),
                Key.AGE_US,
                Happening.some(quality.ageMicros()),
                Key.RATE_PPM,
                quality.ratePpm());
    }

    /** How well such a record says that timecode is known. */
    public static SyncQuality quality(Entry entry) {
        OptionalLong ppm = entry.number(Key.RATE_PPM);
        return new SyncQuality(
                entry.text(Key.CLOCK).orElse(null),
                entry.number(Key.UNCERTAINTY_US).orElse(-1),
                entry.number(Key.AGE_US).orElse(-1),
                ppm.isPresent() ? (Long) ppm.getAsLong() : null);
    }
}
