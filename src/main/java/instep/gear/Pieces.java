package instep.gear;

import io.netty.buffer.ByteBuf;
import io.netty.buffer.ByteBufUtil;
import java.nio.charset.StandardCharsets;
import java.util.function.Consumer;

/** Where there are no frames, what comes in one piece is one reply. */
record Pieces(Consumer<String> each) implements Frames {
    @Override
    public boolean take(ByteBuf bytes) {
        text(bytes, each);
        return true;
    }

    @Override
    public String excess() {
        throw new IllegalStateException("a piece is never too long");
    }

    /** Text if it reads as text, else hex; nothing if it is empty. */
    static void text(ByteBuf bytes, Consumer<String> each) {
        if (!bytes.isReadable()) {
            return;
        }
        boolean text = bytes.forEachByte(b -> b >= ' ' || b == '\r' || b == '\n' || b == '\t') < 0;
        each.accept(
                text
                        ? Lines.printable(
                                bytes.toString(StandardCharsets.US_ASCII).strip())
                        : "hex " + ByteBufUtil.hexDump(bytes));
        bytes.skipBytes(bytes.readableBytes());
    }

    /** Makes replies of the bytes of one message. */
    @FunctionalInterface
    interface Reading {
        void read(ByteBuf message, Consumer<String> each);
    }
}
