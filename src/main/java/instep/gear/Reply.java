package instep.gear;

import com.fasterxml.jackson.jr.ob.JSON;
import java.io.IOException;
import java.util.Optional;
import org.jspecify.annotations.Nullable;

/** Something that gear said, to be looked at by several patterns. Not thread-safe. */
public final class Reply {
    private final String text;
    private @Nullable Object json;
    private boolean parsed;

    /** What was said. */
    public Reply(String text) {
        this.text = text;
    }

    String text() {
        return text;
    }

    /** The same as objects and arrays; empty if it is no JSON (RFC 8259), or only a bare value. */
    Optional<Object> json() {
        if (!parsed) {
            parsed = true;
            json = text.startsWith("{") || text.startsWith("[") ? parse(text) : null;
        }
        return Optional.ofNullable(json);
    }

    private static @Nullable Object parse(String text) {
        try {
            return JSON.std.anyFrom(text);
        } catch (IOException e) {
            return null;
        }
    }
}
