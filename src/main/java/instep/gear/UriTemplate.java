package instep.gear;

import instep.machine.Template;
import instep.machine.Values;
import java.nio.charset.StandardCharsets;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;

/**
 * A template of RFC 6570, levels 1 to 3: {@code {name}}, {@code {+name}}, {@code {?a,b}} and so on. A value is text, so there are no lists and no
 * {@code :3} or {@code *} after a name.
 */
public final class UriTemplate {
    /** What the character after the brace asks for (RFC 6570, appendix A). */
    private enum Operator {
        SIMPLE("", "", ",", false, "", false),
        RESERVED("+", "", ",", false, "", true),
        FRAGMENT("#", "#", ",", false, "", true),
        LABEL(".", ".", ".", false, "", false),
        PATH("/", "/", "/", false, "", false),
        PARAMETER(";", ";", ";", true, "", false),
        QUERY("?", "?", "&", true, "=", false),
        CONTINUATION("&", "&", "&", true, "=", false);

        private final String sign;
        private final String first;
        private final String separator;
        private final boolean named;
        private final String ifEmpty;
        private final boolean reserved;

        Operator(String sign, String first, String separator, boolean named, String ifEmpty, boolean reserved) {
            this.sign = sign;
            this.first = first;
            this.separator = separator;
            this.named = named;
            this.ifEmpty = ifEmpty;
            this.reserved = reserved;
        }
    }

    /** Literal text if there are no names. */
    private record Part(String text, Operator operator, List<String> names) {}

    private static final String RESERVED_CHARACTERS = ":/?#[]@!$&'()*+,;=";

    private final String written;
    private final List<Part> parts;

    private UriTemplate(String written, List<Part> parts) {
        this.written = written;
        this.parts = List.copyOf(parts);
    }

    /** Reads {@code text}; throws {@link IllegalArgumentException}, with the end of a sentence, for what is no template of these levels. */
    public static UriTemplate parse(String text) {
        List<Part> parts = new ArrayList<>();
        int at = 0;
        while (at < text.length()) {
            int open = text.indexOf('{', at);
            int end = open < 0 ? text.length() : open;
            if (end > at) {
                parts.add(literal(text.substring(at, end)));
            }
            if (open < 0) {
                break;
            }
            int close = text.indexOf('}', open);
            if (close < 0) {
                throw new IllegalArgumentException("the brace at \"" + text.substring(open) + "\" is not closed");
            }
            parts.add(expression(text.substring(open + 1, close)));
            at = close + 1;
        }
        return new UriTemplate(text, parts);
    }

    private static Part literal(String text) {
        if (text.indexOf('}') >= 0) {
            throw new IllegalArgumentException(
                    "the brace at \"" + text.substring(text.indexOf('}')) + "\" was not opened");
        }
        return new Part(encoded(text, true), Operator.SIMPLE, List.of());
    }

    private static Part expression(String inside) {
        Operator operator = Operator.SIMPLE;
        for (Operator one : Operator.values()) {
            if (!one.sign.isEmpty() && inside.startsWith(one.sign)) {
                operator = one;
            }
        }
        List<String> names = List.of(inside.substring(operator.sign.length()).split(",", -1));
        for (String name : names) {
            if (name.isEmpty() || !name.chars().allMatch(UriTemplate::isNameCharacter)) {
                throw new IllegalArgumentException("\"{" + inside + "}\" holds no name of a value"
                        + (name.endsWith("*") || name.indexOf(':') > 0 ? " (level 4 of RFC 6570 is not spoken)" : ""));
            }
        }
        return new Part("", operator, names);
    }

    private static boolean isNameCharacter(int c) {
        return Character.isLetterOrDigit(c) || c == '_' || c == '-' || c == '.';
    }

    /** This target with more in its query; the key as it is meant, the value a template in which each value is percent-encoded. */
    public UriTemplate with(String key, Template value) {
        List<Part> all = new ArrayList<>(parts);
        all.add(new Part(
                (written.indexOf('?') < 0 ? "?" : "&") + encoded(key, false) + "=", Operator.SIMPLE, List.of()));
        for (Template.Part part : value.parts()) {
            all.add(
                    part.isName()
                            ? new Part("", Operator.SIMPLE, List.of(part.text()))
                            : new Part(encoded(part.text(), false), Operator.SIMPLE, List.of()));
        }
        return new UriTemplate(written + "?" + key + "=" + value, all);
    }

    /** The names of the values it uses, in order. */
    public List<String> names() {
        return parts.stream().flatMap(part -> part.names().stream()).toList();
    }

    /** The target with its values in place; one that there is not leaves nothing. */
    String expand(Values values) {
        StringBuilder out = new StringBuilder();
        for (Part part : parts) {
            if (part.names().isEmpty()) {
                out.append(part.text());
            } else {
                expand(part, values, out);
            }
        }
        return out.toString();
    }

    private static void expand(Part part, Values values, StringBuilder out) {
        Operator operator = part.operator();
        String before = operator.first;
        for (String name : part.names()) {
            Object value = values.value(name);
            if (value != null) {
                String text = encoded(value.toString(), operator.reserved);
                out.append(before);
                if (operator.named) {
                    out.append(encoded(name, false)).append(text.isEmpty() ? operator.ifEmpty : "=");
                }
                out.append(text);
                before = operator.separator;
            }
        }
    }

    /** Percent-encoded but for unreserved characters and, if asked for, reserved ones and what is percent-encoded already (section 3.2.1). */
    private static String encoded(String text, boolean keepReserved) {
        StringBuilder out = new StringBuilder();
        byte[] bytes = text.getBytes(StandardCharsets.UTF_8);
        for (int i = 0; i < bytes.length; i++) {
            char c = (char) (bytes[i] & 0xff);
            boolean unreserved = c < 0x80 && (Character.isLetterOrDigit(c) || "-._~".indexOf(c) >= 0);
            boolean kept = keepReserved && (RESERVED_CHARACTERS.indexOf(c) >= 0 || (c == '%' && isTriplet(bytes, i)));
            if (unreserved || kept) {
                out.append(c);
            } else {
                out.append(String.format(Locale.ROOT, "%%%02X", (int) c));
            }
        }
        return out.toString();
    }

    private static boolean isTriplet(byte[] bytes, int at) {
        return at + 2 < bytes.length
                && Character.digit(bytes[at + 1], 16) >= 0
                && Character.digit(bytes[at + 2], 16) >= 0;
    }

    @Override
    public boolean equals(Object other) {
        return other instanceof UriTemplate t && parts.equals(t.parts);
    }

    @Override
    public int hashCode() {
        return parts.hashCode();
    }

    /** The text as it was written. */
    @Override
    public String toString() {
        return written;
    }
}
