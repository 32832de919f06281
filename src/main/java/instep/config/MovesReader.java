package instep.config;

import instep.config.Node.Mapping;
import instep.config.Node.Scalar;
import instep.config.Node.Sequence;
import instep.gesture.Moves;
import instep.gesture.Scale;
import java.math.BigDecimal;
import java.util.List;
import java.util.Optional;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import org.jspecify.annotations.Nullable;

/** Reads {@code moves}: what the positions of a contact are sent as, on which scale, and how often. */
final class MovesReader {
    static final List<String> KEYS = List.of("send", "at-most", "from", "to");
    private static final Pattern RATE = Pattern.compile("([0-9]{1,4}(?:\\.[0-9]{1,3})?)/s");
    private static final BigDecimal NANOS = BigDecimal.valueOf(1_000_000_000L);
    private static final BigDecimal LARGEST = BigDecimal.valueOf(Scale.LARGEST);
    private static final BigDecimal OFTENEST = BigDecimal.valueOf(1_000);
    private static final int MOST_DECIMALS = 9;

    private final Scalars scalars;
    private final MessageReader messages;

    MovesReader(Scalars scalars, MessageReader messages) {
        this.scalars = scalars;
        this.messages = messages;
    }

    /** Null if the contact has none. */
    @Nullable Moves read(@Nullable Node node) {
        if (node == null) {
            return null;
        }
        Fields fields = Fields.of(node.place(), "moves", node, KEYS, scalars);
        Node send = fields.require("send", "expected steps such as { mixer: \"IRIS {value}\" }");
        int message = send == null ? 0 : message(send);
        return new Moves(message, scale(fields), interval(fields.get("at-most")));
    }

    /** Steps right here and no name: only here is there a {value}. */
    private int message(Node send) {
        boolean steps = send instanceof Mapping mapping ? !mapping.bare() : send instanceof Sequence;
        if (!steps) {
            scalars.expected(send, "steps such as { mixer: \"IRIS {value}\" }, in which {value} is the position");
            return 0;
        }
        String name = scalars.knowing("value", () -> messages.unnamed(send));
        List<String> names =
                messages.messages().stream().map(message -> message.name()).toList();
        return names.indexOf(name);
    }

    private Scale scale(Fields fields) {
        Optional<BigDecimal> from = number(fields.get("from"), 0);
        Optional<BigDecimal> to = number(fields.get("to"), 100);
        if (from.isEmpty() || to.isEmpty()) {
            return Scale.PERCENT;
        }
        int decimals = Math.max(0, Math.max(from.get().scale(), to.get().scale()));
        if (isTooLong(from.get(), decimals) || isTooLong(to.get(), decimals)) {
            scalars.faults()
                    .add(
                            fields.placeOf(fields.has("to") ? "to" : "from"),
                            "expected from and to with at most nine digits, those after the point included");
            return Scale.PERCENT;
        }
        if (from.get().compareTo(to.get()) == 0) {
            scalars.faults()
                    .add(
                            fields.placeOf(fields.has("to") ? "to" : "from"),
                            "from and to are the same; expected two ends");
            return Scale.PERCENT;
        }
        return new Scale(units(from.get(), decimals), units(to.get(), decimals), decimals);
    }

    private Optional<BigDecimal> number(@Nullable Node node, long otherwise) {
        if (node == null) {
            return Optional.of(BigDecimal.valueOf(otherwise));
        }
        Optional<BigDecimal> number = node instanceof Scalar scalar ? Scalars.number(scalar) : Optional.empty();
        if (number.isEmpty() || Math.abs((long) number.get().scale()) > MOST_DECIMALS) {
            scalars.expected(node, "a number, such as 100 or 1.00");
            return Optional.empty();
        }
        return number;
    }

    private static boolean isTooLong(BigDecimal number, int decimals) {
        return number.movePointRight(decimals).abs().compareTo(LARGEST) > 0;
    }

    private static long units(BigDecimal number, int decimals) {
        return number.movePointRight(decimals).longValueExact();
    }

    private long interval(@Nullable Node node) {
        if (node == null) {
            return Moves.USUAL_INTERVAL;
        }
        String form = "how often in a second, such as 25/s, at most 1000/s";
        String text = scalars.text(node, form, "");
        Matcher matcher = RATE.matcher(text);
        BigDecimal rate = matcher.matches() ? new BigDecimal(matcher.group(1)) : BigDecimal.ZERO;
        if (rate.signum() > 0 && rate.compareTo(OFTENEST) <= 0) {
            return NANOS.divide(rate, java.math.RoundingMode.CEILING).longValueExact();
        }
        if (!text.isEmpty()) {
            scalars.expected(node, form);
        }
        return Moves.USUAL_INTERVAL;
    }
}
