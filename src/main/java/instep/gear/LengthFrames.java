package instep.gear;

import io.netty.buffer.ByteBuf;
import io.netty.buffer.Unpooled;
import java.util.function.Consumer;

/** Cuts a stream in which each message comes after its length, a number without a sign, most significant byte first. */
final class LengthFrames implements Frames {
    private final int lengthBytes;
    private final Pieces.Reading reading;
    private final Consumer<String> each;
    private final byte[] message = new byte[LONGEST_BYTES];
    private int headLeft;
    private long length;
    private int taken;

    /** Expects lengths of so many bytes. */
    LengthFrames(int lengthBytes, Pieces.Reading reading, Consumer<String> each) {
        this.lengthBytes = lengthBytes;
        this.reading = reading;
        this.each = each;
        this.headLeft = lengthBytes;
    }

    @Override
    public boolean take(ByteBuf bytes) {
        while (bytes.isReadable()) {
            if (headLeft > 0) {
                length = (length << 8) | bytes.readUnsignedByte();
                headLeft--;
            } else {
                int piece = (int) Math.min(bytes.readableBytes(), length - taken);
                bytes.readBytes(message, taken, piece);
                taken += piece;
            }
            if (headLeft == 0 && length > LONGEST_BYTES) {
                return false;
            }
            if (headLeft == 0 && taken == length) {
                end();
            }
        }
        return true;
    }

    private void end() {
        ByteBuf whole = Unpooled.wrappedBuffer(message, 0, taken);
        headLeft = lengthBytes;
        length = 0;
        taken = 0;
        reading.read(whole, each);
    }

    @Override
    public String excess() {
        return "announced a message of " + length + " bytes, where " + LONGEST_BYTES
                + " is the most: does it begin its messages with a length of " + lengthBytes
                + (lengthBytes == 1 ? " byte?" : " bytes?");
    }
}
