package instep.journal;

import java.time.Instant;
import java.time.LocalDateTime;
import java.time.ZoneId;
import java.time.ZoneOffset;

/** Writes instants as RFC 3339 has them: nine digits of a second, and the offset of the zone in force then ({@code Z} for none). */
public final class Rfc3339 {
    private static final long NANOS_PER_SECOND = 1_000_000_000L;

    private Rfc3339() {}

    /** The wall time of an instant in nanoseconds since 1970-01-01T00:00:00Z. */
    public static String text(long epochNanos, ZoneId zone) {
        StringBuilder out = new StringBuilder(35);
        append(out, epochNanos, zone);
        return out.toString();
    }

    static void append(StringBuilder out, long epochNanos, ZoneId zone) {
        long second = Math.floorDiv(epochNanos, NANOS_PER_SECOND);
        int nano = (int) Math.floorMod(epochNanos, NANOS_PER_SECOND);
        ZoneOffset offset = offset(zone, second, nano);
        LocalDateTime local = LocalDateTime.ofEpochSecond(second, nano, offset);
        digits(out, local.getYear(), 4).append('-');
        digits(out, local.getMonthValue(), 2).append('-');
        digits(out, local.getDayOfMonth(), 2).append('T');
        digits(out, local.getHour(), 2).append(':');
        digits(out, local.getMinute(), 2).append(':');
        digits(out, local.getSecond(), 2).append('.');
        digits(out, nano, 9).append(offset.getId());
    }

    /** RFC 3339 has offsets in whole minutes only; local mean times of old are written in UTC. */
    private static ZoneOffset offset(ZoneId zone, long second, int nano) {
        ZoneOffset offset = zone.getRules().getOffset(Instant.ofEpochSecond(second, nano));
        return offset.getTotalSeconds() % 60 == 0 ? offset : ZoneOffset.UTC;
    }

    /** Digit by digit: this is done for each record, and texts made on the way would be most of what the journal leaves for the collector. */
    private static StringBuilder digits(StringBuilder out, int number, int width) {
        int unit = 1;
        for (int i = 1; i < width; i++) {
            unit *= 10;
        }
        for (; unit > 0; unit /= 10) {
            out.append((char) ('0' + number / unit % 10));
        }
        return out;
    }
}
