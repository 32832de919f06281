package instep.config;

import instep.config.Node.Scalar;
import instep.gear.JsonPointer;
import instep.gear.Match;
import java.util.List;
import java.util.Optional;
import java.util.regex.Pattern;
import java.util.regex.PatternSyntaxException;

/** Reads what a reply has to look like: {@code line}, {@code osc}, or {@code pointer} with {@code equals}. */
final class AnswerReader {
    static final List<String> KEYS = List.of("line", "pointer", "equals", "osc");

    private static final List<String> FORMS = List.of("line", "pointer", "osc");
    private static final Match FALLBACK = new Match.Line(Pattern.compile(""));

    private final Scalars scalars;

    AnswerReader(Scalars scalars) {
        this.scalars = scalars;
    }

    /** The one among some fields; empty, and no fault, if there is none. */
    Optional<Match> among(Fields fields) {
        List<String> given = FORMS.stream().filter(fields::has).toList();
        if (given.size() > 1) {
            fields.refuse(given.get(1), given.get(0) + " is given, and a reply is looked at in one way");
        }
        if (!fields.has("pointer")) {
            fields.refuse("equals", "it belongs to a pointer; expected pointer beside it");
        }
        Node line = fields.get("line");
        Node pointer = fields.get("pointer");
        Node osc = fields.get("osc");
        if (line != null) {
            return Optional.of(line(line));
        } else if (pointer != null) {
            return Optional.of(pointer(pointer, fields));
        }
        return Optional.ofNullable(osc).map(this::address);
    }

    /** A regular expression alone, or a map with one of the keys. */
    Match read(String what, Node node) {
        if (node instanceof Scalar) {
            return line(node);
        }
        Fields fields = Fields.of(node.place(), what, node, KEYS, scalars);
        return among(fields).orElseGet(() -> {
            if (!fields.isBroken()) {
                scalars.expected(node, "line, pointer or osc: what the answer has to look like");
            }
            return FALLBACK;
        });
    }

    private Match line(Node node) {
        String form = "a regular expression such as \"^OK\"";
        try {
            return new Match.Line(Pattern.compile(scalars.text(node, form, "")));
        } catch (PatternSyntaxException e) {
            scalars.faults().add(node.place(), "expected " + form + "; this one is not sound: " + e.getDescription());
            return FALLBACK;
        }
    }

    private Match pointer(Node node, Fields fields) {
        String form = "a JSON Pointer such as /state";
        String text = node instanceof Scalar scalar && !scalar.isNull() ? scalar.text() : "-";
        Optional<JsonPointer> pointer = JsonPointer.parse(text);
        if (pointer.isEmpty()) {
            scalars.expected(node, form);
            return FALLBACK;
        }
        Node wanted = fields.get("equals");
        return new Match.Pointer(
                pointer.get(), wanted == null ? null : scalars.text(wanted, "a text, a number, true or false", ""));
    }

    private Match address(Node node) {
        String address = scalars.text(node, "an OSC address such as /lamp/ok", "/");
        if (!address.startsWith("/") || address.indexOf(' ') >= 0) {
            scalars.expected(node, "an OSC address that begins with / and holds no spaces");
        }
        return new Match.Address(address);
    }
}
