package instep.gear;

import io.netty.buffer.ByteBuf;
import io.netty.buffer.Unpooled;
import java.util.function.Consumer;

/** Packets in a stream of bytes after RFC 1055, with an END before and after each, as OSC 1.1 asks for. */
final class Slip implements Frames {
    static final int END = 0xc0;
    static final int ESC = 0xdb;
    private static final int ESC_END = 0xdc;
    private static final int ESC_ESC = 0xdd;

    private final Pieces.Reading reading;
    private final Consumer<String> each;
    private final byte[] packet = new byte[LONGEST_BYTES];
    private int length;
    private boolean escaped;

    /** Hands on each packet; empty ones, which come between two ENDs, are left out. */
    Slip(Pieces.Reading reading, Consumer<String> each) {
        this.reading = reading;
        this.each = each;
    }

    /** Writes one packet. */
    static void write(ByteBuf packet, ByteBuf out) {
        out.writeByte(END);
        while (packet.isReadable()) {
            int b = packet.readUnsignedByte();
            if (b == END) {
                out.writeByte(ESC).writeByte(ESC_END);
            } else if (b == ESC) {
                out.writeByte(ESC).writeByte(ESC_ESC);
            } else {
                out.writeByte(b);
            }
        }
        out.writeByte(END);
    }

    @Override
    public boolean take(ByteBuf bytes) {
        while (bytes.isReadable()) {
            int b = bytes.readUnsignedByte();
            if (b == END) {
                end();
            } else if (b == ESC && !escaped) {
                escaped = true;
            } else if (length == LONGEST_BYTES) {
                return false;
            } else {
                packet[length++] = (byte) (escaped ? meant(b) : b);
                escaped = false;
            }
        }
        return true;
    }

    /** After an ESC; a byte that should not stand there is left as it is, as RFC 1055's own program does. */
    private static int meant(int b) {
        return b == ESC_END ? END : b == ESC_ESC ? ESC : b;
    }

    private void end() {
        int whole = length;
        length = 0;
        escaped = false;
        if (whole > 0) {
            reading.read(Unpooled.wrappedBuffer(packet, 0, whole), each);
        }
    }

    @Override
    public String excess() {
        return "sent more than " + LONGEST_BYTES + " bytes without an END: does it frame its packets with SLIP?";
    }
}
