package instep.config;

import instep.config.Node.Scalar;
import instep.gear.Secret;
import instep.gear.Secrets;
import instep.machine.Template;
import instep.time.FrameRate;
import java.math.BigDecimal;
import java.math.BigInteger;
import java.util.Collection;
import java.util.HashMap;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalLong;
import java.util.function.Supplier;
import java.util.regex.Pattern;

/**
 * Reads single values. Where one is wrong the fault is noted and the caller's fallback returned, so that reading goes on.
 * Numbers and booleans are those of the YAML 1.2 core schema (YAML 1.2.2, section 10.3.2), not the many of YAML 1.1.
 */
final class Scalars {
    private static final Pattern INTEGER = Pattern.compile("[-+]?(0|[1-9][0-9]*)");
    private static final Pattern HEX = Pattern.compile("0x[0-9a-fA-F]+");
    private static final Pattern LEADING_ZERO = Pattern.compile("[-+]?0[0-9]+");
    private static final Pattern FRACTION =
            Pattern.compile("[-+]?(\\.[0-9]+|[0-9]+(\\.[0-9]*)?)([eE][-+]?[0-9]{1,9})?");
    private static final Pattern TRUE = Pattern.compile("true|True|TRUE");
    private static final Pattern FALSE = Pattern.compile("false|False|FALSE");
    private static final Pattern OLD_BOOLEAN = Pattern.compile("(?i)yes|no|on|off|y|n");

    /** What is longer is no number that anybody means, and would take long to read. */
    private static final int LONGEST = 64;

    private final Faults faults;
    private final FrameRate rate;
    private final Names values = new Names("value");
    private final Map<String, Secret> secrets = new HashMap<>();
    private boolean telling;
    /** A value that there is only in what is being read now; empty if there is none. */
    private String local = "";

    /** Reads frames in durations at the rate. */
    Scalars(Faults faults, FrameRate rate) {
        this.faults = faults;
        this.rate = rate;
    }

    Faults faults() {
        return faults;
    }

    /** The names of values that templates and conditions may use. */
    Names values() {
        return values;
    }

    FrameRate rate() {
        return rate;
    }

    /** Notes that something else was expected. */
    void expected(Node node, String what) {
        faults.add(node.place(), "expected " + what + ", found " + node.found());
    }

    /** Any value as its text. */
    String text(Node node, String what, String fallback) {
        if (node instanceof Scalar scalar && !scalar.isNull()) {
            return scalar.text();
        }
        expected(node, what);
        return fallback;
    }

    /** Text with values in it. */
    Template template(Node node, String what, String fallback) {
        Template template = Template.parse(text(node, what, fallback));
        template.names().forEach(name -> refer(name, node));
        return template;
    }

    /** Notes that a value of that name is used. */
    void refer(String name, Node node) {
        if (name.startsWith(Secrets.PREFIX)) {
            secret(name.substring(Secrets.PREFIX.length()), node);
        } else if (!name.equals(local)) {
            values.refer(name, node.place());
        }
    }

    private void secret(String name, Node node) {
        if (telling) {
            secrets.putIfAbsent(name, LinkReader.secret(name, node));
        } else {
            faults.add(node.place(), "a secret can stand only in what gear is told, since nothing else keeps it");
        }
    }

    /** Reads what gear is told, in which secrets may stand. */
    <T> T telling(Supplier<T> read) {
        boolean before = telling;
        telling = true;
        try {
            return read.get();
        } finally {
            telling = before;
        }
    }

    /** The secrets that stand in what gear is told, by name. */
    Map<String, Secret> secrets() {
        return secrets;
    }

    /** Reads something in whose templates there is one more value. */
    <T> T knowing(String value, Supplier<T> read) {
        local = value;
        try {
            return read.get();
        } finally {
            local = "";
        }
    }

    /** One of some words. */
    <E> E word(Node node, Map<String, E> words, E fallback) {
        String text = text(node, Words.either(words.keySet()), "");
        E meant = words.get(text);
        if (meant == null && !text.isEmpty()) {
            faults.add(
                    node.place(),
                    "expected " + Words.either(words.keySet()) + ", found " + Words.quote(text)
                            + meant(text, words.keySet()));
        }
        return meant == null ? fallback : meant;
    }

    private String meant(String text, Collection<String> words) {
        return Words.nearest(text, words)
                .map(w -> "; did you mean " + Words.quote(w) + "?")
                .orElse("");
    }

    /** {@code true} or {@code false}. */
    boolean flag(Node node, boolean fallback) {
        if (node instanceof Scalar scalar) {
            Optional<Boolean> flag = flag(scalar);
            if (flag.isPresent()) {
                return flag.get();
            }
            if (refuseOldBoolean(scalar)) {
                return fallback;
            }
        }
        expected(node, "true or false");
        return fallback;
    }

    /** The boolean, if it is one. */
    static Optional<Boolean> flag(Scalar scalar) {
        if (scalar.plain() && TRUE.matcher(scalar.text()).matches()) {
            return Optional.of(true);
        }
        return scalar.plain() && FALSE.matcher(scalar.text()).matches() ? Optional.of(false) : Optional.empty();
    }

    /** Notes a word that some YAML takes for a boolean; only true and false are. */
    boolean refuseOldBoolean(Scalar scalar) {
        boolean old = scalar.plain() && OLD_BOOLEAN.matcher(scalar.text()).matches();
        if (old) {
            faults.add(
                    scalar.place(),
                    "expected true or false, found " + Words.quote(scalar.text())
                            + "; for the word itself write it in quotation marks");
        }
        return old;
    }

    /** A whole number between two bounds, both allowed. */
    long integer(Node node, long min, long max, long fallback) {
        String range = "a whole number" + (min == Long.MIN_VALUE ? "" : " from " + min + " to " + max);
        if (node instanceof Scalar scalar) {
            if (refuseLeadingZero(scalar)) {
                return fallback;
            }
            Optional<BigInteger> number = integer(scalar);
            if (number.isPresent()
                    && number.get().compareTo(BigInteger.valueOf(min)) >= 0
                    && number.get().compareTo(BigInteger.valueOf(max)) <= 0) {
                return number.get().longValue();
            }
        }
        expected(node, range);
        return fallback;
    }

    /** The whole number, if it is one and was not written as text. */
    static Optional<BigInteger> integer(Scalar scalar) {
        if (scalar.text().length() > LONGEST) {
            return Optional.empty();
        }
        if (scalar.plain() && INTEGER.matcher(scalar.text()).matches()) {
            return Optional.of(
                    new BigInteger(scalar.text().startsWith("+") ? scalar.text().substring(1) : scalar.text()));
        }
        return scalar.plain() && HEX.matcher(scalar.text()).matches()
                ? Optional.of(new BigInteger(scalar.text().substring(2), 16))
                : Optional.empty();
    }

    /** Notes a number that one reader takes for octal and another for decimal. */
    boolean refuseLeadingZero(Scalar scalar) {
        boolean ambiguous =
                scalar.plain() && LEADING_ZERO.matcher(scalar.text()).matches();
        if (ambiguous) {
            faults.add(
                    scalar.place(),
                    "expected a number without a leading zero, found " + Words.quote(scalar.text())
                            + "; for text write it in quotation marks");
        }
        return ambiguous;
    }

    /** The number, whole or not, if it is one and was not written as text. */
    static Optional<BigDecimal> number(Scalar scalar) {
        return scalar.plain()
                        && scalar.text().length() <= LONGEST
                        && FRACTION.matcher(scalar.text()).matches()
                ? Optional.of(new BigDecimal(scalar.text()))
                : integer(scalar).map(BigDecimal::new);
    }

    /** A duration in nanoseconds. */
    long nanos(Node node, long fallback) {
        String form = "a time such as 8ms, 1.5s, 2m or 12f (frames), at most a day";
        String text = text(node, form, "");
        OptionalLong nanos = DurationText.nanos(text, rate);
        if (nanos.isEmpty() && !text.isEmpty()) {
            expected(node, form);
        }
        return nanos.orElse(fallback);
    }
}
