package instep.config;

import instep.config.Node.Mapping;
import instep.config.Node.Scalar;
import instep.gear.Payload;
import instep.machine.Template;
import java.util.List;
import java.util.Optional;

/** Reads what one gear is told, in the form that its transport speaks. */
final class PayloadReader {
    static final List<String> TCP_KEYS = List.of("text", "hex");
    private static final Payload FALLBACK = new Payload.Bytes("");

    private final Scalars scalars;

    PayloadReader(Scalars scalars) {
        this.scalars = scalars;
    }

    Payload read(String gear, Transport transport, Node node) {
        Optional<Transport> form = form(node);
        boolean isMap = node instanceof Mapping mapping && !mapping.bare();
        if (form.isPresent() ? form.get() != transport : !isMap) {
            scalars.faults()
                    .add(
                            node.place(),
                            gear + " speaks " + transport.word() + "; expected " + transport.form() + ", found "
                                    + form.filter(f -> isMap)
                                            .map(f -> "what is for " + f.word())
                                            .orElse(node.found()));
            return FALLBACK;
        }
        return switch (transport) {
            case TCP -> tcp(node);
            case OSC -> OscReader.read(node, scalars);
            case HTTP -> HttpReader.read(node, scalars);
        };
    }

    /** The transport whose form it has; empty if it has none that is known. */
    private static Optional<Transport> form(Node node) {
        if (node instanceof Scalar scalar) {
            return scalar.isNull() ? Optional.empty() : Optional.of(Transport.TCP);
        }
        if (!(node instanceof Mapping mapping)) {
            return Optional.empty();
        }
        List<String> keys = mapping.entries().stream().map(Node.Entry::name).toList();
        if (keys.contains("osc")) {
            return Optional.of(Transport.OSC);
        }
        if (keys.stream().anyMatch(HttpReader.METHODS::contains)) {
            return Optional.of(Transport.HTTP);
        }
        return keys.stream().anyMatch(TCP_KEYS::contains) ? Optional.of(Transport.TCP) : Optional.empty();
    }

    private Payload tcp(Node node) {
        if (node instanceof Scalar) {
            return text(node);
        }
        Fields fields = Fields.of(node.place(), "this message", node, TCP_KEYS, scalars);
        Node hex = fields.get("hex");
        Node text = fields.get("text");
        if (hex != null) {
            fields.refuse("text", "hex is given, and a message is one or the other");
            return new Payload.Bytes(HexText.digits(hex, scalars));
        }
        if (text == null && !fields.isBroken()) {
            scalars.expected(node, Transport.TCP.form());
        }
        return text == null ? FALLBACK : text(text);
    }

    private Payload text(Node node) {
        Template template = scalars.template(node, "a line of text", "");
        String text = template.toString();
        if (text.indexOf('\n') >= 0 || text.indexOf('\r') >= 0) {
            scalars.expected(node, "a single line; for several, write a list of steps");
        }
        return new Payload.Text(template);
    }
}
