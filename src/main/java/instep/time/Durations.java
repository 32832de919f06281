package instep.time;

import java.math.BigDecimal;
import java.math.RoundingMode;
import java.util.Map;
import java.util.TreeMap;
import java.util.regex.Matcher;
import java.util.regex.Pattern;

/**
 * Lengths of time as people write and read them. Written: {@code 80us}, {@code 8ms}, {@code 1.5s}, {@code 2m}, {@code 1h}, or
 * {@code 12f} for frames at a rate. Inside the program a length is in nanoseconds or in frames.
 */
public final class Durations {
    private static final Pattern WRITTEN = Pattern.compile("([0-9]+(?:\\.[0-9]+)?)([a-z]+)");
    private static final long MILLI = 1_000_000L;
    private static final long DAY_SECONDS = 86_400L;
    private static final Map<String, Long> NANOS = new TreeMap<>(
            Map.of("us", 1_000L, "ms", 1_000_000L, "s", 1_000_000_000L, "m", 60_000_000_000L, "h", 3_600_000_000_000L));

    private Durations() {}

    /**
     * Nanoseconds of a written length. Frames are rounded up to the nanosecond, as {@link FrameRate#nanosAt} does.
     *
     * @throws TimeSyntaxException with a sentence that names the text and what is wrong with it
     */
    public static long parse(String text, FrameRate rate) {
        Matcher matcher = WRITTEN.matcher(text);
        if (!matcher.matches()) {
            throw fault(
                    text,
                    "is no length of time: write a number and its unit without a space, such as 8ms, 1.5s or 12f");
        }
        BigDecimal number = new BigDecimal(matcher.group(1));
        String unit = matcher.group(2);
        if (unit.equals("f")) {
            return rate.nanosAt(frames(text, number));
        }
        Long nanos = NANOS.get(unit);
        if (nanos == null) {
            throw fault(text, "has the unknown unit " + unit + ": use us, ms, s, m, h, or f for frames");
        }
        return whole(text, number.multiply(BigDecimal.valueOf(nanos)));
    }

    /** Nanoseconds to the last of them, for a length that somebody wrote: {@code 500 ms}, {@code 1.5 s}. One that was measured is better {@link #rounded}. */
    public static String ofNanos(long nanos) {
        boolean seconds = nanos >= 1_000_000_000L;
        BigDecimal count = BigDecimal.valueOf(nanos, seconds ? 9 : 6).stripTrailingZeros();
        return count.toPlainString() + (seconds ? " s" : " ms");
    }

    /**
     * A length as it is read from two metres: {@code 76 ms}, {@code 2.5 s}, {@code 1 h 2 min 3 s}, {@code 365 days 6 h}. Milliseconds are whole from ten of them on and
     * have at most three decimals below, as have seconds; from a minute on seconds are whole, and from two days on hours.
     *
     * @param nanos 0 or more
     */
    public static String rounded(long nanos) {
        long millis = halfUp(nanos, MILLI);
        if (nanos < 10 * MILLI) {
            return thousandths(halfUp(nanos, MILLI / 1_000)) + " ms";
        } else if (millis < 1_000) {
            return millis + " ms";
        } else if (millis < 60_000) {
            return thousandths(millis) + " s";
        }
        long seconds = halfUp(nanos, 1_000 * MILLI);
        if (seconds < 2 * DAY_SECONDS) {
            return (part(seconds / 3_600, "h") + part(seconds / 60 % 60, "min") + part(seconds % 60, "s")).strip();
        }
        long hours = halfUp(seconds, 3_600);
        return (part(hours / 24, "days") + part(hours % 24, "h")).strip();
    }

    private static long halfUp(long count, long unit) {
        return count / unit + (count % unit >= unit / 2 ? 1 : 0);
    }

    private static String thousandths(long count) {
        return BigDecimal.valueOf(count, 3).stripTrailingZeros().toPlainString();
    }

    /** Nothing is said of what there is none of. */
    private static String part(long count, String unit) {
        return count == 0 ? "" : count + " " + unit + " ";
    }

    /** A count of frames as time: {@code mm:ss.ttt}, with {@code hh:} before it from one hour on (the form of a WebVTT timestamp). */
    public static String ofFrames(long frames, FrameRate rate) {
        BigDecimal millis = BigDecimal.valueOf(frames)
                .multiply(BigDecimal.valueOf(rate.denominator() * 1_000))
                .divide(BigDecimal.valueOf(rate.numerator()), 0, RoundingMode.HALF_UP);
        long total = millis.abs().longValueExact();
        String sign = millis.signum() < 0 ? "-" : "";
        long hours = total / 3_600_000;
        String text = two(total / 60_000 % 60) + ":" + two(total / 1_000 % 60) + "."
                + String.valueOf(1_000 + total % 1_000).substring(1);
        return sign + (hours == 0 ? text : two(hours) + ":" + text);
    }

    private static String two(long number) {
        return number < 10 ? "0" + number : String.valueOf(number);
    }

    private static long frames(String text, BigDecimal number) {
        if (number.stripTrailingZeros().scale() > 0) {
            throw fault(text, "is a part of a frame: frames are whole");
        }
        // A bound far beyond any show keeps the arithmetic in range.
        if (number.compareTo(BigDecimal.valueOf(1_000_000_000_000L)) > 0) {
            throw fault(text, "is too long");
        }
        return number.longValueExact();
    }

    private static long whole(String text, BigDecimal nanos) {
        if (nanos.stripTrailingZeros().scale() > 0) {
            throw fault(text, "is finer than a nanosecond");
        }
        if (nanos.compareTo(BigDecimal.valueOf(Long.MAX_VALUE)) > 0) {
            throw fault(text, "is too long");
        }
        return nanos.longValueExact();
    }

    private static TimeSyntaxException fault(String text, String what) {
        return new TimeSyntaxException("\"" + text + "\" " + what);
    }
}
