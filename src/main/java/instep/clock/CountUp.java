package instep.clock;

import instep.time.Timecode;
import instep.time.TimecodeLine;

/**
 * Timecode that counts from a label of one's choice, which begins at the instant asked for.
 *
 * @param start the first label
 */
public record CountUp(Timecode start) implements TimecodeSource {
    @Override
    public String name() {
        return "count-up";
    }

    @Override
    public TimecodeLine lineThrough(long nanos) {
        return new TimecodeLine(start.rate(), nanos, start.frame());
    }
}
