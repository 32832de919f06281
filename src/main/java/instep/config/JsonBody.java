package instep.config;

import instep.config.Node.Entry;
import instep.config.Node.Mapping;
import instep.config.Node.Scalar;
import instep.config.Node.Sequence;
import instep.machine.Template;
import instep.machine.Template.Part;
import java.math.BigDecimal;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;

/**
 * A tree of YAML as JSON text (RFC 8259) in which the values of templates are still open: they stand inside strings, and are escaped as
 * JSON when they are filled in.
 */
final class JsonBody {
    private final Scalars scalars;
    private final List<Part> parts = new ArrayList<>();
    private final StringBuilder literal = new StringBuilder();

    private JsonBody(Scalars scalars) {
        this.scalars = scalars;
    }

    static Template template(Node node, Scalars scalars) {
        JsonBody body = new JsonBody(scalars);
        body.write(node);
        body.flush();
        return Template.of(body.parts);
    }

    private void write(Node node) {
        if (node instanceof Mapping mapping) {
            if (mapping.bare()) {
                scalars.expected(node, "a value");
            }
            writeObject(mapping);
        } else if (node instanceof Sequence sequence) {
            writeArray(sequence);
        } else if (node instanceof Scalar scalar) {
            writeScalar(scalar);
        }
    }

    private void writeObject(Mapping mapping) {
        literal.append('{');
        String comma = "";
        for (Entry entry : mapping.entries()) {
            literal.append(comma).append('"');
            escape(entry.name());
            literal.append("\":");
            write(entry.value());
            comma = ",";
        }
        literal.append('}');
    }

    private void writeArray(Sequence sequence) {
        literal.append('[');
        String comma = "";
        for (Node item : sequence.items()) {
            literal.append(comma);
            write(item);
            comma = ",";
        }
        literal.append(']');
    }

    private void writeScalar(Scalar scalar) {
        Optional<BigDecimal> number = Scalars.number(scalar);
        if (scalars.refuseOldBoolean(scalar) || scalars.refuseLeadingZero(scalar)) {
            return;
        }
        if (scalar.isNull()) {
            literal.append("null");
        } else if (Scalars.flag(scalar).isPresent()) {
            literal.append(Scalars.flag(scalar).get());
        } else if (number.isPresent()) {
            literal.append(number.get());
        } else {
            writeText(scalars.template(scalar, "text", ""));
        }
    }

    private void writeText(Template text) {
        literal.append('"');
        for (Part part : text.parts()) {
            if (part.isName()) {
                flush();
                parts.add(part);
            } else {
                escape(part.text());
            }
        }
        literal.append('"');
    }

    private void escape(String text) {
        text.chars().forEach(c -> {
            if (c == '"' || c == '\\') {
                literal.append('\\').append((char) c);
            } else if (c < 0x20) {
                literal.append(String.format("\\u%04x", c));
            } else {
                literal.append((char) c);
            }
        });
    }

    private void flush() {
        if (literal.length() > 0) {
            parts.add(new Part(literal.toString(), false));
            literal.setLength(0);
        }
    }
}
