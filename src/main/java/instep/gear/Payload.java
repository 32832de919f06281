package instep.gear;

import instep.machine.Template;
import java.util.List;
import java.util.Map;
import org.jspecify.annotations.Nullable;

/** What one gear is told, in the form that its transport speaks. */
public sealed interface Payload {
    /** A line of text; the gear's line end is added. */
    record Text(Template text) implements Payload {}

    /**
     * Bytes as they are.
     *
     * @param hex an even number of hex digits, nothing else
     */
    record Bytes(String hex) implements Payload {}

    /** A value of JSON (RFC 8259) on one line; the gear's line end is added. */
    record Json(Template body) implements Payload {}

    /** An OSC message. */
    record Osc(Template address, List<Argument> arguments) implements Payload {
        public Osc {
            arguments = List.copyOf(arguments);
        }
    }

    /**
     * OSC messages that belong together: one bundle (OSC 1.0, "OSC Bundles").
     *
     * @param afterNanos how long after it was said the gear is to act on it; 0: immediately
     */
    record OscBundle(List<Osc> messages, long afterNanos) implements Payload {
        public OscBundle {
            messages = List.copyOf(messages);
        }
    }

    /**
     * An HTTP request.
     *
     * @param method in capitals
     * @param target path and query, after the gear's base path
     * @param body null: none
     * @param contentType null: none, or the body's own
     * @param expectStatus the only status that counts as done; 0: any from 200 to 299
     * @param withinNanos how long the response may take; 0: as the gear says
     */
    record Http(
            String method,
            UriTemplate target,
            Map<String, Template> headers,
            @Nullable Template body,
            @Nullable String contentType,
            int expectStatus,
            long withinNanos)
            implements Payload {
        public Http {
            headers = Map.copyOf(headers);
        }
    }

    /** A ping of a WebSocket (RFC 6455, section 5.5.2), to see how long it is under way. */
    record Ping() implements Payload {}

    /**
     * A tone through an audio output.
     *
     * @param hertz its pitch, from 1 to 20,000
     * @param nanos how long it sounds
     * @param level in dB below a full-scale sine: 0 or less
     */
    record Tone(int hertz, long nanos, int level) implements Payload {
        /** For people: {@code tone of 1000 Hz, 40 ms, -20 dBFS}. */
        String words() {
            return "tone of " + hertz + " Hz, " + nanos / 1_000_000 + " ms, " + level + " dBFS";
        }
    }

    /** An argument of an OSC message, by its type tag (OSC 1.0, "OSC Type Tag String"). */
    sealed interface Argument {
        /** Tag {@code i}. */
        record Int32(int value) implements Argument {}

        /** Tag {@code h}. */
        record Int64(long value) implements Argument {}

        /** Tag {@code f}. */
        record Float32(float value) implements Argument {}

        /** Tag {@code d}. */
        record Float64(double value) implements Argument {}

        /** Tag {@code s}. */
        record Text(Template value) implements Argument {}

        /**
         * A number that is put together when it is sent.
         *
         * @param tag {@code i}, {@code h}, {@code f} or {@code d}
         */
        record Numeric(char tag, Template value) implements Argument {}

        /** Tag {@code b}; an even number of hex digits. */
        record Blob(String hex) implements Argument {}

        /** Tags {@code T F N I}, which have no bytes. */
        enum Symbol implements Argument {
            TRUE('T'),
            FALSE('F'),
            NIL('N'),
            IMPULSE('I');

            private final char tag;

            Symbol(char tag) {
                this.tag = tag;
            }

            /** The type tag. */
            public char tag() {
                return tag;
            }
        }
    }
}
