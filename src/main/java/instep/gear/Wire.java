package instep.gear;

import instep.machine.Values;
import io.netty.buffer.ByteBuf;
import io.netty.buffer.Unpooled;
import java.util.IdentityHashMap;

/**
 * A message as it goes on the wire.
 *
 * @param text the same for people, on one line
 */
record Wire(ByteBuf bytes, String text) {
    /** Another one over the same bytes, with a reading position of its own. */
    ByteBuf copy() {
        return bytes.retainedDuplicate();
    }

    void release() {
        bytes.release();
    }

    /** Turns payloads into bytes. */
    @FunctionalInterface
    interface Encoder {
        /** Throws {@link IllegalArgumentException}, with a sentence for a person, for what this gear cannot be told. */
        Wire encode(Payload payload, Values values);
    }

    /** Keeps the bytes of payloads without values, which is most of them, so that a cut costs no encoding. */
    static final class Cache {
        private static final int MOST = 512;

        private final Encoder encoder;
        private final IdentityHashMap<Payload, Wire> fixed = new IdentityHashMap<>();

        /** Secrets stand among the values of what it encodes. */
        Cache(Encoder encoder, Secrets secrets) {
            this.encoder = (payload, values) -> encoder.encode(payload, secrets.among(values));
        }

        Wire wire(Payload payload, Values values) {
            Wire known = fixed.get(payload);
            if (known != null) {
                return known;
            }
            Wire fresh = encoder.encode(payload, values);
            if (fixed.size() >= MOST || !Render.isFixed(payload)) {
                return fresh;
            }
            Wire kept = new Wire(Unpooled.unreleasableBuffer(fresh.bytes()), fresh.text());
            fixed.put(payload, kept);
            return kept;
        }

        void clear() {
            fixed.values().forEach(wire -> wire.bytes().unwrap().release());
            fixed.clear();
        }
    }
}
