package instep.config;

import instep.time.FrameRate;
import instep.time.Timecode;
import java.util.Arrays;
import java.util.List;
import org.jspecify.annotations.Nullable;

/**
 * How frames are counted and from where.
 *
 * @param ltc where linear timecode comes in; null: nowhere
 * @param midi where MIDI timecode comes in; null: nowhere
 * @param reported which gear tells its own; null: that of none is followed
 */
public record TimecodeSettings(
        FrameRate rate,
        Source source,
        Timecode start,
        @Nullable LtcSettings ltc,
        @Nullable MidiTimecodeSettings midi,
        @Nullable ReportedTimecodeSettings reported) {
    /** The name that its value and its events have. */
    static final String NAME = "timecode";

    /** What the machine is told of timecode that comes from outside. */
    public static final List<String> EVENTS =
            List.of("timecode.locked", "timecode.jumped", "timecode.freewheeling", "timecode.lost");

    /** Which events there are. */
    List<String> events() {
        return source.isOutside() ? EVENTS : List.of();
    }

    /** Where timecode comes from. */
    public enum Source {
        /** The local time of day. */
        TIME_OF_DAY("time-of-day"),
        /** From {@code start}, at the start of the first take. */
        COUNT_UP("count-up"),
        /** Linear timecode from outside; the time of day until it is there. */
        LTC("ltc"),
        /** MIDI timecode from outside; the time of day until it is there. */
        MTC("mtc"),
        /** What a gear says of its own; the time of day until it has said so. */
        GEAR("gear");

        private final String word;

        Source(String word) {
            this.word = word;
        }

        /** The word in a configuration and in the journal. */
        public String word() {
            return word;
        }

        /** Whether that is the word of one that is followed. */
        public static boolean isOutside(String word) {
            return Arrays.stream(values()).anyMatch(source -> source.isOutside() && source.word.equals(word));
        }

        /** Whether it is followed, and may be lost. */
        public boolean isOutside() {
            return this == LTC || this == MTC || this == GEAR;
        }
    }
}
