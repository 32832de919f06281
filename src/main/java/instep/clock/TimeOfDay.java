package instep.clock;

import instep.time.FrameRate;
import instep.time.TimecodeLine;
import java.time.LocalTime;
import java.time.ZoneId;
import java.util.function.LongUnaryOperator;

/**
 * Timecode that shows the local time of day where its line is drawn and counts at the exact rate from there. At a whole rate it stays with the
 * wall clock; at 29.97-drop and 59.94-drop it gains 86.4 ms a day, at the other rates below a whole number it loses 86.4 s a day, as their counting has
 * it.
 *
 * @param zone whose time of day
 * @param wallAt from a monotonic instant to nanoseconds since 1970-01-01T00:00:00Z
 */
public record TimeOfDay(FrameRate rate, ZoneId zone, LongUnaryOperator wallAt) implements TimecodeSource {
    private static final long NANOS_PER_SECOND = 1_000_000_000L;

    @Override
    public String name() {
        return "time-of-day";
    }

    @Override
    public TimecodeLine lineThrough(long nanos) {
        return lineThrough(
                nanos, WallClock.instant(wallAt.applyAsLong(nanos)).atZone(zone).toLocalTime());
    }

    /** The line on which the label at the monotonic instant is the given time of day. */
    TimecodeLine lineThrough(long nanos, LocalTime wall) {
        long part = wall.getNano() * (long) rate.counted() / NANOS_PER_SECOND;
        // The first nanosecond of a second that the label with this frame number covers.
        long partBegan = (part * NANOS_PER_SECOND + rate.counted() - 1) / rate.counted();
        long minutes = wall.getHour() * 60L + wall.getMinute();
        boolean skipping = wall.getSecond() == 0 && minutes % 10 != 0;
        // Where counting skips the label, the first one of that minute stands in for it.
        long number = skipping ? Math.max(part, rate.dropped()) : part;
        long labels = (minutes * 60 + wall.getSecond()) * rate.counted() + number;
        long frame = labels - rate.dropped() * (minutes - Math.floorDiv(minutes, 10L));
        return new TimecodeLine(rate, nanos - (wall.getNano() - partBegan), frame);
    }
}
