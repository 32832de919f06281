package instep.gear;

import com.fasterxml.jackson.jr.ob.JSON;
import java.io.IOException;
import java.math.BigDecimal;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.regex.Pattern;

/** A JSON Pointer (RFC 6901): the way to one value in a JSON text. Immutable. */
public final class JsonPointer {
    private static final Pattern FORM = Pattern.compile("(/([^~/]|~[01])*)*");
    private static final Pattern INDEX = Pattern.compile("0|[1-9][0-9]{0,8}");

    private final String text;
    private final List<String> tokens;

    private JsonPointer(String text, List<String> tokens) {
        this.text = text;
        this.tokens = List.copyOf(tokens);
    }

    /** Reads a pointer; empty if that is none. The pointer without characters is the whole text. */
    public static Optional<JsonPointer> parse(String text) {
        if (!FORM.matcher(text).matches()) {
            return Optional.empty();
        }
        List<String> tokens = new ArrayList<>();
        if (!text.isEmpty()) {
            for (String token : text.substring(1).split("/", -1)) {
                tokens.add(token.replace("~1", "/").replace("~0", "~"));
            }
        }
        return Optional.of(new JsonPointer(text, tokens));
    }

    /** The value there as text: a string as it is, anything else as JSON; empty if the text has no such value. */
    Optional<String> in(Object json) {
        Object at = json;
        for (String token : tokens) {
            if (at instanceof Map<?, ?> object && object.containsKey(token)) {
                at = object.get(token);
            } else if (at instanceof List<?> array
                    && INDEX.matcher(token).matches()
                    && Integer.parseInt(token) < array.size()) {
                at = array.get(Integer.parseInt(token));
            } else {
                return Optional.empty();
            }
        }
        return Optional.of(words(at));
    }

    @SuppressWarnings("NullAway") // JSON's null is one of the values
    private static String words(Object value) {
        if (value instanceof String string) {
            return string;
        }
        try {
            return value == null ? "null" : JSON.std.asString(value);
        } catch (IOException e) {
            return value.toString();
        }
    }

    /** Whether two values are the same: as texts, or as numbers (RFC 6902, section 4.6). */
    static boolean areEqual(String value, String other) {
        if (value.equals(other)) {
            return true;
        }
        try {
            return value.length() < 40 && new BigDecimal(value).compareTo(new BigDecimal(other)) == 0;
        } catch (NumberFormatException e) {
            return false;
        }
    }

    @Override
    public boolean equals(Object other) {
        return other instanceof JsonPointer pointer && text.equals(pointer.text);
    }

    @Override
    public int hashCode() {
        return text.hashCode();
    }

    @Override
    public String toString() {
        return text;
    }
}
