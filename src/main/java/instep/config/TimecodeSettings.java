package instep.config;

import instep.time.FrameRate;
import instep.time.Timecode;

/** How frames are counted and from where. */
public record TimecodeSettings(FrameRate rate, Source source, Timecode start) {
    /** Where timecode comes from. */
    public enum Source {
        /** The local time of day. */
        TIME_OF_DAY,
        /** From {@code start}, at the start of the first take. */
        COUNT_UP
    }
}
