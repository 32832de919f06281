package instep.machine;

import java.util.ArrayList;
import java.util.List;

/** Text with {@code {name}} in it: simple string expansion of RFC 6570, with the escaping that the text's user needs. */
public final class Template {
    /** How a value is written into the text. */
    public enum Escape {
        /** As it is. */
        NONE,
        /** Inside a JSON string (RFC 8259, section 7). */
        JSON,
        /** Percent-encoded but for unreserved characters (RFC 6570, section 3.2.2). */
        URI
    }

    /** A piece of a template: literal text, or the name of a value. */
    public record Part(String text, boolean isName) {}

    private final List<Part> parts;

    private Template(List<Part> parts) {
        this.parts = List.copyOf(parts);
    }

    /** A template of given pieces. */
    public static Template of(List<Part> parts) {
        return new Template(parts);
    }

    /**
     * Reads {@code text}. {@code {name}} with a name of letters, digits, dots, underscores and dashes is a value; any other brace stands for
     * itself.
     */
    public static Template parse(String text) {
        List<Part> parts = new ArrayList<>();
        int literal = 0;
        for (int open = text.indexOf('{'); open >= 0; open = text.indexOf('{', open + 1)) {
            int close = text.indexOf('}', open);
            if (close > open + 1 && isName(text, open + 1, close)) {
                if (open > literal) {
                    parts.add(new Part(text.substring(literal, open), false));
                }
                parts.add(new Part(text.substring(open + 1, close), true));
                literal = close + 1;
                open = close;
            }
        }
        if (literal < text.length()) {
            parts.add(new Part(text.substring(literal), false));
        }
        return new Template(parts);
    }

    private static boolean isName(String text, int from, int to) {
        for (int i = from; i < to; i++) {
            char c = text.charAt(i);
            if (!(Character.isLetterOrDigit(c) || c == '_' || c == '-' || c == '.')) {
                return false;
            }
        }
        return true;
    }

    /** The names of the values it uses, in order. */
    public List<String> names() {
        return parts.stream().filter(Part::isName).map(Part::text).toList();
    }

    /** The pieces. */
    public List<Part> parts() {
        return parts;
    }

    /** The text with its values in place; a name without a value gives nothing, as RFC 6570 has it. */
    public String render(Values values, Escape escape) {
        if (parts.size() == 1 && !parts.get(0).isName()) {
            return parts.get(0).text();
        }
        StringBuilder out = new StringBuilder();
        for (Part part : parts) {
            if (part.isName()) {
                Object value = values.value(part.text());
                if (value != null) {
                    escape(value.toString(), escape, out);
                }
            } else {
                out.append(part.text());
            }
        }
        return out.toString();
    }

    private static void escape(String value, Escape escape, StringBuilder out) {
        switch (escape) {
            case NONE -> out.append(value);
            case JSON -> escapeJson(value, out);
            case URI -> escapeUri(value, out);
        }
    }

    private static void escapeJson(String value, StringBuilder out) {
        for (int i = 0; i < value.length(); i++) {
            char c = value.charAt(i);
            if (c == '"' || c == '\\') {
                out.append('\\').append(c);
            } else if (c < 0x20) {
                out.append(String.format("\\u%04x", (int) c));
            } else {
                out.append(c);
            }
        }
    }

    private static void escapeUri(String value, StringBuilder out) {
        for (byte b : value.getBytes(java.nio.charset.StandardCharsets.UTF_8)) {
            char c = (char) (b & 0xff);
            if (c < 0x80 && (Character.isLetterOrDigit(c) || "-._~".indexOf(c) >= 0)) {
                out.append(c);
            } else {
                out.append(String.format("%%%02X", (int) c));
            }
        }
    }

    @Override
    public boolean equals(Object other) {
        return other instanceof Template t && parts.equals(t.parts);
    }

    @Override
    public int hashCode() {
        return parts.hashCode();
    }

    /** The text as it was written. */
    @Override
    public String toString() {
        StringBuilder out = new StringBuilder();
        parts.forEach(p -> out.append(p.isName() ? "{" + p.text() + "}" : p.text()));
        return out.toString();
    }
}
