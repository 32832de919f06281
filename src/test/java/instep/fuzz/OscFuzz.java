package instep.fuzz;

import instep.input.net.OscPacket;
import java.nio.ByteBuffer;

/** Any bytes as an OSC packet: they give messages whose addresses begin with a slash, or are refused in a sentence. */
public final class OscFuzz {
    private OscFuzz() {}

    /** Throws if they do not. */
    public static void fuzzerTestOneInput(byte[] bytes) {
        try {
            OscPacket.read(ByteBuffer.wrap(bytes))
                    .forEach(message -> Broken.unless(message.address().startsWith("/"), message.address()));
        } catch (IllegalArgumentException e) {
            Broken.unless(e.getMessage() != null && !e.getMessage().isEmpty(), "no sentence");
        }
    }
}
