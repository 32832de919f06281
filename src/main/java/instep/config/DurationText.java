package instep.config;

import instep.time.Durations;
import instep.time.FrameRate;
import instep.time.TimeSyntaxException;
import java.util.OptionalLong;
import java.util.regex.Pattern;

/** The way durations are written: {@code 8ms}, {@code 1.5s}, {@code 2m}, and {@code 12f} for frames. */
final class DurationText {
    private static final Pattern FORM = Pattern.compile("(\\d{1,9}(?:\\.\\d{1,9})?) ?(ms|s|m|f)");
    private static final long LONGEST = 86_400_000_000_000L;

    private DurationText() {}

    /** Nanoseconds; empty if it is no duration, or longer than a day. */
    static OptionalLong nanos(String text, FrameRate rate) {
        if (!FORM.matcher(text).matches()) {
            return OptionalLong.empty();
        }
        try {
            long nanos = Durations.parse(text.replace(" ", ""), rate);
            return nanos > LONGEST ? OptionalLong.empty() : OptionalLong.of(nanos);
        } catch (TimeSyntaxException e) {
            return OptionalLong.empty();
        }
    }
}
