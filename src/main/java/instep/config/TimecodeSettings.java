package instep.config;

import instep.time.FrameRate;
import instep.time.Timecode;
import java.util.List;
import org.jspecify.annotations.Nullable;

/**
 * How frames are counted and from where.
 *
 * @param ltc where linear timecode comes in; null: nowhere
 */
public record TimecodeSettings(
        FrameRate rate,
        Source source,
        Timecode start,
        @Nullable LtcSettings ltc) {
    /** The name that its value and its events have. */
    static final String NAME = "timecode";

    /** What the machine is told of timecode that comes from outside. */
    public static final List<String> EVENTS =
            List.of("timecode.locked", "timecode.jumped", "timecode.freewheeling", "timecode.lost");

    /** Which events there are. */
    List<String> events() {
        return source == Source.LTC ? EVENTS : List.of();
    }

    /** Where timecode comes from. */
    public enum Source {
        /** The local time of day. */
        TIME_OF_DAY,
        /** From {@code start}, at the start of the first take. */
        COUNT_UP,
        /** Linear timecode from outside; the time of day until it is there. */
        LTC
    }
}
