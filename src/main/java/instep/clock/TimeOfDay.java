package instep.clock;

import instep.time.FrameRate;
import instep.time.TimecodeLine;
import java.time.LocalTime;
import java.time.ZoneId;
import java.util.function.LongUnaryOperator;

/**
 * Timecode that shows the local time of day where its line is drawn and counts at the exact rate from there. At a whole rate it stays with the
 * wall clock; at 29.97-drop and 59.94-drop it gains 86.4 ms a day, at the other rates below a whole number it loses 3.6 s an hour, as their counting has
 * it.
 *
 * @param zone whose time of day
 * @param wallAt from a monotonic instant to nanoseconds since 1970-01-01T00:00:00Z
 */
public record TimeOfDay(FrameRate rate, ZoneId zone, LongUnaryOperator wallAt) implements TimecodeSource {
    @Override
    public String name() {
        return "time-of-day";
    }

    @Override
    public TimecodeLine lineThrough(long nanos) {
        return lineThrough(
                nanos, WallClock.instant(wallAt.applyAsLong(nanos)).atZone(zone).toLocalTime());
    }

    /**
     * The line on which the second of the given time of day begins with that second's first label. The start of a second is a whole number of
     * nanoseconds; the start of a frame need not be, and would leave the line off by a part of one. In a second that drop-frame counting begins with
     * skipped labels, the line is ahead by as many.
     */
    TimecodeLine lineThrough(long nanos, LocalTime wall) {
        long minutes = wall.getHour() * 60L + wall.getMinute();
        boolean skipping = wall.getSecond() == 0 && minutes % 10 != 0;
        long labels = (minutes * 60 + wall.getSecond()) * rate.counted() + (skipping ? rate.dropped() : 0);
        long frame = labels - rate.dropped() * (minutes - Math.floorDiv(minutes, 10L));
        return new TimecodeLine(rate, nanos - wall.getNano(), frame);
    }
}
