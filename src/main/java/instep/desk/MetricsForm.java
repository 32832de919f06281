package instep.desk;

import java.util.Locale;
import java.util.stream.Stream;

/** The two ways in which metrics are written. They differ in the names of counters in the head lines, and in the end. */
enum MetricsForm {
    /** OpenMetrics 1.0.0. */
    OPEN("application/openmetrics-text; version=1.0.0; charset=utf-8"),
    /** The text format 0.0.4 that came before it, which promtool reads. */
    PLAIN("text/plain; version=0.0.4; charset=utf-8");

    private static final String OPEN_RANGE = "application/openmetrics-text\\s*(;.*)?";
    private static final String REFUSED = ".*;\\s*q=0(\\.0*)?\\s*(;.*)?";

    private final String type;

    MetricsForm(String type) {
        this.type = type;
    }

    String type() {
        return type;
    }

    /** The open one for those who ask for it by name and do not refuse it (RFC 9110, section 12.5.1): whoever takes anything may know only the other. */
    static MetricsForm wanted(String accept) {
        boolean open = Stream.of(accept.toLowerCase(Locale.ROOT).split(","))
                .map(String::strip)
                .anyMatch(range -> range.matches(OPEN_RANGE) && !range.matches(REFUSED));
        return open ? OPEN : PLAIN;
    }
}
