package instep.input;

import java.nio.ByteBuffer;

/** Any bytes from a MIDI wire: they give whole messages of numbers that MIDI 1.0 has, or nothing. */
public final class MidiFuzz {
    private MidiFuzz() {}

    /** Throws if they do not. */
    public static void fuzzerTestOneInput(byte[] bytes) {
        MidiParser parser = new MidiParser((status, first, second) -> {
            if (status < 0x80 || status > 0xff || first < 0 || first > 127 || second < 0 || second > 127) {
                throw new IllegalStateException(status + " " + first + " " + second);
            }
        });
        parser.bytes(ByteBuffer.wrap(bytes), 0, bytes.length);
    }
}
