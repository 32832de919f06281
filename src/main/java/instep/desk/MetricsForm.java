package instep.desk;

import java.util.Locale;

/** The two ways in which metrics are written. They differ in the names of counters in the head lines, and in the end. */
enum MetricsForm {
    /** OpenMetrics 1.0.0. */
    OPEN("application/openmetrics-text; version=1.0.0; charset=utf-8"),
    /** The text format 0.0.4 that came before it, which promtool reads. */
    PLAIN("text/plain; version=0.0.4; charset=utf-8");

    private final String type;

    MetricsForm(String type) {
        this.type = type;
    }

    String type() {
        return type;
    }

    /** The open one for those who ask for it by name (RFC 9110, section 12.5.1): whoever takes anything may know only the other. */
    static MetricsForm wanted(String accept) {
        return accept.toLowerCase(Locale.ROOT).contains("application/openmetrics-text") ? OPEN : PLAIN;
    }
}
