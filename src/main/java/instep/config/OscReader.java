package instep.config;

import instep.config.Node.Entry;
import instep.config.Node.Mapping;
import instep.config.Node.Scalar;
import instep.config.Node.Sequence;
import instep.gear.Payload;
import instep.gear.Payload.Argument;
import instep.gear.Payload.Argument.Symbol;
import instep.machine.Template;
import java.math.BigDecimal;
import java.math.BigInteger;
import java.util.List;
import java.util.Optional;
import java.util.regex.Pattern;
import org.jspecify.annotations.Nullable;

/** Reads OSC messages: {@code { osc: /address, args: [1, 0.5, "text", { h: 1 }] }}. */
final class OscReader {
    static final List<String> KEYS = List.of("osc", "args");
    static final List<String> BUNDLE = List.of("bundle", "after");
    static final List<String> TAGS = List.of("i", "h", "f", "d", "s", "b", "I");

    /** OSC 1.0: an address begins with a slash, and is ASCII without spaces and #. */
    private static final Pattern ADDRESS = Pattern.compile("/[!-~&&[^#]]*");

    private final Scalars scalars;

    private OscReader(Scalars scalars) {
        this.scalars = scalars;
    }

    static Payload read(Node node, Scalars scalars) {
        if (!(node instanceof Mapping mapping)
                || mapping.entries().stream().noneMatch(e -> e.name().equals("bundle"))) {
            return message(node, scalars);
        }
        Fields fields = Fields.of(node.place(), "this OSC bundle", node, BUNDLE, scalars);
        List<Payload.Osc> messages = List.of();
        if (fields.get("bundle") instanceof Sequence sequence
                && !sequence.items().isEmpty()) {
            messages = sequence.items().stream().map(m -> message(m, scalars)).toList();
        } else {
            scalars.faults().add(fields.placeOf("bundle"), "expected a list of messages such as [{ osc: /lamp/rec }]");
        }
        return new Payload.OscBundle(messages, fields.nanos("after", 0));
    }

    private static Payload.Osc message(Node node, Scalars scalars) {
        Fields fields = Fields.of(node.place(), "this OSC message", node, KEYS, scalars);
        fields.require("osc", "expected its address, such as /lamp/rec");
        String form = "an OSC address that begins with / and holds no spaces";
        Node address = fields.get("osc");
        Template template = address == null ? Template.parse("/") : scalars.template(address, form, "/");
        if (address != null && !ADDRESS.matcher(template.toString()).matches()) {
            scalars.expected(address, form);
        }
        return new Payload.Osc(template, new OscReader(scalars).arguments(fields.get("args")));
    }

    private List<Argument> arguments(@Nullable Node node) {
        if (node instanceof Sequence sequence) {
            return sequence.items().stream().map(this::argument).toList();
        }
        if (node != null) {
            scalars.expected(node, "a list of arguments in [ ]");
        }
        return List.of();
    }

    private Argument argument(Node node) {
        if (node instanceof Scalar scalar) {
            return plain(scalar);
        }
        if (node instanceof Mapping mapping && mapping.entries().size() == 1) {
            Entry only = mapping.entries().get(0);
            if (TAGS.contains(only.name())) {
                return tagged(only);
            }
        }
        scalars.expected(node, "a value, or one with its type such as { h: 1 } (types: " + Words.either(TAGS) + ")");
        return Symbol.NIL;
    }

    private Argument plain(Scalar scalar) {
        if (scalar.isNull() || scalars.refuseOldBoolean(scalar) || scalars.refuseLeadingZero(scalar)) {
            return Symbol.NIL;
        }
        Optional<Boolean> flag = Scalars.flag(scalar);
        if (flag.isPresent()) {
            return flag.get() ? Symbol.TRUE : Symbol.FALSE;
        }
        Optional<BigInteger> whole = Scalars.integer(scalar);
        if (whole.isPresent()) {
            if (whole.get().bitLength() > 31) {
                scalars.expected(scalar, "a whole number of 32 bits, or { h: … } for 64 bits");
            }
            return new Argument.Int32(whole.get().intValue());
        }
        return Scalars.number(scalar).isPresent()
                ? new Argument.Float32(decimal(scalar, Float.MAX_VALUE).floatValue())
                : new Argument.Text(scalars.template(scalar, "text", ""));
    }

    private Argument tagged(Entry entry) {
        Node value = entry.value();
        if ("ihfd".contains(entry.name())
                && value instanceof Scalar scalar
                && !Template.parse(scalar.text()).names().isEmpty()) {
            return new Argument.Numeric(entry.name().charAt(0), scalars.template(value, "a number", ""));
        }
        return switch (entry.name()) {
            case "i" -> new Argument.Int32((int) scalars.integer(value, Integer.MIN_VALUE, Integer.MAX_VALUE, 0));
            case "h" -> new Argument.Int64(scalars.integer(value, Long.MIN_VALUE, Long.MAX_VALUE, 0));
            case "f" -> new Argument.Float32(decimal(value, Float.MAX_VALUE).floatValue());
            case "d" -> new Argument.Float64(decimal(value, Double.MAX_VALUE).doubleValue());
            case "s" -> new Argument.Text(scalars.template(value, "text", ""));
            case "b" -> new Argument.Blob(HexText.digits(value, scalars));
            default -> impulse(value);
        };
    }

    private BigDecimal decimal(Node node, double largest) {
        if (node instanceof Scalar scalar) {
            Optional<BigDecimal> number = Scalars.number(scalar);
            if (number.isPresent() && number.get().abs().compareTo(new BigDecimal(largest)) <= 0) {
                return number.get();
            }
        }
        scalars.expected(node, "a number of at most " + largest);
        return BigDecimal.ZERO;
    }

    private Argument impulse(Node node) {
        if (!(node instanceof Scalar scalar && scalar.isNull())) {
            scalars.expected(node, "nothing after I:, which is an impulse without a value");
        }
        return Symbol.IMPULSE;
    }
}
