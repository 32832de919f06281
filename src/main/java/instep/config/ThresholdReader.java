package instep.config;

import instep.gesture.Threshold;
import java.util.List;
import java.util.OptionalDouble;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import org.jspecify.annotations.Nullable;

/** Reads where an analog contact closes and opens: {@code press-above} and {@code release-below}, or the other way round. */
final class ThresholdReader {
    private static final String PRESS_ABOVE = "press-above";
    private static final String RELEASE_BELOW = "release-below";
    private static final String PRESS_BELOW = "press-below";
    private static final String RELEASE_ABOVE = "release-above";

    static final List<String> KEYS = List.of(PRESS_ABOVE, RELEASE_BELOW, PRESS_BELOW, RELEASE_ABOVE);

    private static final Pattern PERCENT = Pattern.compile("([0-9]{1,3}(?:\\.[0-9]{1,6})?)%");
    private static final double WHOLE = 100;

    private ThresholdReader() {}

    static Threshold read(Fields fields, Scalars scalars) {
        boolean below = fields.has(PRESS_BELOW) || (fields.has(RELEASE_ABOVE) && !fields.has(PRESS_ABOVE));
        if (below) {
            String why = "this contact closes below a position";
            fields.refuse(PRESS_ABOVE, why);
            fields.refuse(RELEASE_BELOW, why);
            return pair(fields, PRESS_BELOW, RELEASE_ABOVE, scalars);
        }
        return fields.has(PRESS_ABOVE) || fields.has(RELEASE_BELOW)
                ? pair(fields, PRESS_ABOVE, RELEASE_BELOW, scalars)
                : Threshold.DEFAULT;
    }

    private static Threshold pair(Fields fields, String pressKey, String releaseKey, Scalars scalars) {
        Node press = fields.require(pressKey, "expected it beside " + releaseKey);
        Node release = fields.require(releaseKey, "expected it beside " + pressKey);
        OptionalDouble closes = share(press, scalars);
        OptionalDouble opens = share(release, scalars);
        if (closes.isEmpty() || opens.isEmpty()) {
            return Threshold.DEFAULT;
        }
        boolean above = pressKey.equals(PRESS_ABOVE);
        if (above ? opens.getAsDouble() >= closes.getAsDouble() : opens.getAsDouble() <= closes.getAsDouble()) {
            scalars.faults()
                    .add(
                            fields.placeOf(releaseKey),
                            releaseKey + " is not " + (above ? "less" : "more") + " than " + pressKey
                                    + "; expected some way between them, so that a trembling foot is one press");
            return Threshold.DEFAULT;
        }
        return new Threshold(closes.getAsDouble(), opens.getAsDouble());
    }

    /** Neither end: beyond it nothing lies that could close or open the contact. */
    private static OptionalDouble share(@Nullable Node node, Scalars scalars) {
        if (node == null) {
            return OptionalDouble.empty();
        }
        String form = "a share of the way between 0% and 100%, such as 60%";
        String text = scalars.text(node, form, "");
        Matcher matcher = PERCENT.matcher(text);
        double percent = matcher.matches() ? Double.parseDouble(matcher.group(1)) : 0;
        if (percent > 0 && percent < WHOLE) {
            return OptionalDouble.of(percent / WHOLE);
        }
        if (!text.isEmpty()) {
            scalars.expected(node, form);
        }
        return OptionalDouble.empty();
    }
}
