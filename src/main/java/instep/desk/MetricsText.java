package instep.desk;

import java.math.BigDecimal;
import java.util.Map;

/** Writes families of metrics, each with its head and its samples. Not thread-safe. */
final class MetricsText {
    private static final int MICRO_DIGITS = 6;
    private static final int NANO_DIGITS = 9;

    private final MetricsForm form;
    private final StringBuilder out = new StringBuilder(8_192);

    MetricsText(MetricsForm form) {
        this.form = form;
    }

    /** A family of one sample that only grows; its name without the ending. */
    void counter(String name, String help, long value) {
        counters(name, help);
        count(name, "", value);
    }

    /** The head of a family of counters, whose samples follow. */
    void counters(String name, String help) {
        head(form == MetricsForm.OPEN ? name : name + "_total", "counter", help);
    }

    void count(String name, String labels, long value) {
        sample(name + "_total", labels, String.valueOf(value));
    }

    /** A family of one sample that goes up and down. */
    void gauge(String name, String help, String value) {
        gauges(name, help);
        sample(name, "", value);
    }

    /** The head of a family of gauges, whose samples follow. */
    void gauges(String name, String help) {
        head(name, "gauge", help);
    }

    /** A sample of a family; {@code labels} as {@link #label} gives them, or empty. */
    void sample(String name, String labels, String value) {
        out.append(name);
        if (!labels.isEmpty()) {
            out.append('{').append(labels).append('}');
        }
        out.append(' ').append(value).append('\n');
    }

    /** How times spread, in seconds. */
    void histogram(String name, String help, Histogram spread) {
        head(name, "histogram", help);
        int last = Histogram.BOUNDS.length;
        for (int range = 0; range < last; range++) {
            String end = micros(Histogram.BOUNDS[range]);
            sample(name + "_bucket", label("le", end), String.valueOf(spread.upTo(range)));
        }
        sample(name + "_bucket", label("le", "+Inf"), String.valueOf(spread.upTo(last)));
        sample(name + "_sum", "", micros(spread.sum()));
        sample(name + "_count", "", String.valueOf(spread.upTo(last)));
    }

    private void head(String name, String type, String help) {
        out.append("# HELP ").append(name).append(' ').append(help).append('\n');
        out.append("# TYPE ").append(name).append(' ').append(type).append('\n');
        if (form == MetricsForm.OPEN) {
            unit(name);
        }
    }

    /** The unit must be the end of the name (OpenMetrics 1.0.0, unit). */
    private void unit(String name) {
        for (String unit : new String[] {"seconds", "bytes"}) {
            if (name.endsWith("_" + unit)) {
                out.append("# UNIT ").append(name).append(' ').append(unit).append('\n');
            }
        }
    }

    /** All that was written. */
    String end() {
        return form == MetricsForm.OPEN ? out.append("# EOF\n").toString() : out.toString();
    }

    static String label(String name, String value) {
        Map<String, String> escapes = Map.of("\\", "\\\\", "\"", "\\\"", "\n", "\\n");
        StringBuilder text = new StringBuilder(name).append("=\"");
        value.codePoints().mapToObj(Character::toString).forEach(c -> text.append(escapes.getOrDefault(c, c)));
        return text.append('"').toString();
    }

    /** Microseconds as seconds. */
    static String micros(long micros) {
        return seconds(micros, MICRO_DIGITS);
    }

    /** Nanoseconds as seconds. */
    static String nanos(long nanos) {
        return seconds(nanos, NANO_DIGITS);
    }

    private static String seconds(long number, int digits) {
        BigDecimal seconds = BigDecimal.valueOf(number, digits).stripTrailingZeros();
        return (seconds.scale() < 1 ? seconds.setScale(1) : seconds).toPlainString();
    }
}
