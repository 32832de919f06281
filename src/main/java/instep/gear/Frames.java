package instep.gear;

import io.netty.buffer.ByteBuf;

/** Cuts a stream of bytes into what was said, piece by piece. One for each connection. */
interface Frames {
    /** No piece is longer, whatever the gear says: it bounds what one device can make this program hold. */
    int LONGEST_BYTES = 8 * 1_024;

    /** Takes all of {@code bytes}, or returns false when a piece is too long. */
    boolean take(ByteBuf bytes);

    /** What is wrong with a piece that is too long, to complete a sentence about the gear. */
    String excess();
}
