package instep.time;

import java.util.Locale;
import java.util.regex.Matcher;
import java.util.regex.Pattern;

/** Times since a start as people write and read them, in nanoseconds: {@code 5.25} seconds, or {@code 1:05.250} with minutes. */
public final class Elapsed {
    private static final long NANOS = 1_000_000_000L;
    private static final Pattern WRITTEN =
            Pattern.compile("(?:(?<minutes>[0-9]{1,6}):)?(?<seconds>[0-9]{1,8})(?:\\.(?<decimals>[0-9]{1,9}))?");

    private Elapsed() {}

    /**
     * Nanoseconds of a written time.
     *
     * @throws TimeSyntaxException with a sentence that names the text and what was expected
     */
    public static long parse(String text) {
        Matcher time = WRITTEN.matcher(text);
        if (!time.matches()) {
            throw new TimeSyntaxException("\"" + text + "\" is not a time; expected seconds such as 5.25, or 1:05.250");
        }
        String minutes = time.group("minutes");
        long seconds = Long.parseLong(time.group("seconds"));
        if (minutes != null && (seconds > 59 || time.group("seconds").length() != 2)) {
            throw new TimeSyntaxException(
                    "\"" + text + "\" is not a time; after minutes there are two digits, 00 to 59");
        }
        String decimals = time.group("decimals");
        long fraction = decimals == null ? 0 : Long.parseLong((decimals + "00000000").substring(0, 9));
        return ((minutes == null ? 0 : Long.parseLong(minutes)) * 60 + seconds) * NANOS + fraction;
    }

    /** A time as it is written: with three decimals, or as many more as it needs. */
    public static String text(long nanos) {
        String decimals = String.format(Locale.ROOT, "%09d", nanos % NANOS).replaceFirst("0{1,6}$", "");
        long seconds = nanos / NANOS;
        return seconds < 60
                ? seconds + "." + decimals
                : String.format(Locale.ROOT, "%d:%02d.%s", seconds / 60, seconds % 60, decimals);
    }
}
