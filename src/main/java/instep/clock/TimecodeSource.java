package instep.clock;

import instep.time.TimecodeLine;

/**
 * Where timecode comes from. A source draws a line through one instant; whoever holds the line keeps it as long as a take is open, so that
 * nothing that happens to a clock moves timecode within a take.
 */
public interface TimecodeSource {
    /** The word for it in a configuration and in the journal. */
    String name();

    /** The line through the monotonic instant {@code nanos}. */
    TimecodeLine lineThrough(long nanos);
}
