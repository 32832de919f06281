package instep.desk;

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

    /** The plain one for those who know no other. */
    static MetricsForm wanted(String accept) {
        return accept.contains("text/plain") && !accept.contains("openmetrics") ? PLAIN : OPEN;
    }
}
