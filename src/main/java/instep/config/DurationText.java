package instep.config;

import instep.time.FrameRate;
import java.math.BigDecimal;
import java.math.RoundingMode;
import java.util.OptionalLong;
import java.util.regex.Matcher;
import java.util.regex.Pattern;

/** The way durations are written: {@code 8ms}, {@code 1.5s}, {@code 2m}, and {@code 12f} for frames. */
final class DurationText {
    private static final Pattern FORM = Pattern.compile("(\\d{1,9}(?:\\.\\d{1,9})?) ?(ms|s|m|f)");
    private static final long LONGEST = 86_400_000_000_000L;

    private DurationText() {}

    /** Nanoseconds; empty if it is no duration, or longer than a day. */
    static OptionalLong nanos(String text, FrameRate rate) {
        Matcher form = FORM.matcher(text);
        if (!form.matches()) {
            return OptionalLong.empty();
        }
        BigDecimal number = new BigDecimal(form.group(1));
        if (form.group(2).equals("f")) {
            return number.scale() > 0
                    ? OptionalLong.empty()
                    : upToADay(BigDecimal.valueOf(rate.nanosAt(number.longValue())));
        }
        long unit = switch (form.group(2)) {
            case "ms" -> 1_000_000L;
            case "s" -> 1_000_000_000L;
            default -> 60_000_000_000L;
        };
        return upToADay(number.multiply(BigDecimal.valueOf(unit)));
    }

    private static OptionalLong upToADay(BigDecimal nanos) {
        return nanos.compareTo(BigDecimal.valueOf(LONGEST)) > 0
                ? OptionalLong.empty()
                : OptionalLong.of(nanos.setScale(0, RoundingMode.HALF_UP).longValueExact());
    }
}
