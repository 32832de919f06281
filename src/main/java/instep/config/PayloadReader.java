package instep.config;

import instep.config.Node.Mapping;
import instep.config.Node.Scalar;
import instep.config.Transport.Speech;
import instep.gear.Payload;
import instep.machine.Template;
import java.util.List;
import java.util.Optional;

/** Reads what one gear is told, in the form that its transport speaks. */
final class PayloadReader {
    static final List<String> TEXT_KEYS = List.of("text", "json", "hex");
    private static final Payload FALLBACK = new Payload.Bytes("");

    private final Scalars scalars;

    PayloadReader(Scalars scalars) {
        this.scalars = scalars;
    }

    Payload read(String gear, Transport transport, Node node) {
        Optional<Speech> form = form(node);
        boolean isMap = node instanceof Mapping mapping && !mapping.bare();
        if (form.isPresent() ? !fits(form.get(), transport.speech(), isMap) : !isMap) {
            scalars.faults()
                    .add(
                            node.place(),
                            gear + " speaks " + transport.word() + "; expected "
                                    + transport.speech().form() + ", found "
                                    + form.filter(f -> isMap)
                                            .map(PayloadReader::what)
                                            .orElse(node.found()));
            return FALLBACK;
        }
        return scalars.telling(() -> told(transport, node));
    }

    private Payload told(Transport transport, Node node) {
        return switch (transport.speech()) {
            case TEXT -> text(node);
            case BYTES -> bytes(node);
            case OSC -> OscReader.read(node, scalars);
            case REQUESTS -> HttpReader.read(node, scalars);
            case TONES -> ToneReader.read(node, scalars);
        };
    }

    /** Bytes are written as for gear that takes text, too. */
    private static boolean fits(Speech form, Speech wanted, boolean isMap) {
        return form == wanted || (isMap && form == Speech.TEXT && wanted == Speech.BYTES);
    }

    private static String what(Speech form) {
        return switch (form) {
            case TEXT, BYTES -> "what is for tcp";
            case OSC -> "what is for osc";
            case REQUESTS -> "what is for http";
            case TONES -> "what is for sound";
        };
    }

    /** The speech whose form it has; empty if it has none that is known. */
    private static Optional<Speech> form(Node node) {
        if (node instanceof Scalar scalar) {
            return scalar.isNull() ? Optional.empty() : Optional.of(Speech.TEXT);
        }
        if (!(node instanceof Mapping mapping)) {
            return Optional.empty();
        }
        List<String> keys = mapping.entries().stream().map(Node.Entry::name).toList();
        if (keys.contains("osc") || keys.contains("bundle")) {
            return Optional.of(Speech.OSC);
        }
        if (keys.contains("tone")) {
            return Optional.of(Speech.TONES);
        }
        if (keys.stream().anyMatch(HttpReader.METHODS::contains)) {
            return Optional.of(Speech.REQUESTS);
        }
        return keys.stream().anyMatch(TEXT_KEYS::contains) && !keys.contains("headers")
                ? Optional.of(Speech.TEXT)
                : Optional.empty();
    }

    private Payload bytes(Node node) {
        Fields fields = Fields.of(node.place(), "this message", node, List.of("hex"), scalars);
        Node hex = fields.require("hex", "expected the bytes of the report");
        return hex == null ? FALLBACK : new Payload.Bytes(HexText.digits(hex, scalars));
    }

    private Payload text(Node node) {
        if (node instanceof Scalar) {
            return line(node);
        }
        Fields fields = Fields.of(node.place(), "this message", node, TEXT_KEYS, scalars);
        Node hex = fields.get("hex");
        Node json = fields.get("json");
        Node text = fields.get("text");
        if (hex != null) {
            fields.refuse("text", "hex is given, and a message is one or the other");
            fields.refuse("json", "hex is given, and a message is one or the other");
            return new Payload.Bytes(HexText.digits(hex, scalars));
        }
        if (json != null) {
            fields.refuse("text", "json is given, and a message is one or the other");
            return new Payload.Json(JsonBody.template(json, scalars));
        }
        if (text == null && !fields.isBroken()) {
            scalars.expected(node, Speech.TEXT.form());
        }
        return text == null ? FALLBACK : line(text);
    }

    private Payload line(Node node) {
        Template template = scalars.template(node, "a line of text", "");
        String text = template.toString();
        if (text.indexOf('\n') >= 0 || text.indexOf('\r') >= 0) {
            scalars.expected(node, "a single line; for several, write a list of steps");
        }
        return new Payload.Text(template);
    }
}
