package instep.input;

import java.nio.ByteBuffer;

/** All bits of one device's raw reports that change. Numbered reports are compared with the last of their number. */
final class BitReading implements LoopSource.Reading {
    /** Where the changes go. */
    interface Bits {
        void bit(int byteIndex, int bit, boolean closed, long nanos);
    }

    private static final int NUMBERS = 256;

    private final ByteBuffer buffer = ByteBuffer.allocateDirect(ReportDecoder.LONGEST);
    private final boolean numbered;
    private final byte[][] last = new byte[NUMBERS][];
    private final Bits bits;

    /**
     * A reading of one device.
     *
     * @param numbered whether byte 0 of a report is its number
     */
    BitReading(boolean numbered, Bits bits) {
        this.numbered = numbered;
        this.bits = bits;
    }

    @Override
    public ByteBuffer buffer() {
        return buffer;
    }

    @Override
    public void received(int length) {
        long nanos = System.nanoTime();
        byte[] before = before(numbered ? Byte.toUnsignedInt(buffer.get(0)) : 0);
        for (int i = numbered ? 1 : 0; i < length; i++) {
            int now = Byte.toUnsignedInt(buffer.get(i));
            int changed = now ^ Byte.toUnsignedInt(before[i]);
            for (int bit = 0; bit < Byte.SIZE; bit++) {
                if ((changed >> bit & 1) != 0) {
                    bits.bit(i, bit, (now >> bit & 1) != 0, nanos);
                }
            }
            before[i] = (byte) now;
        }
    }

    @Override
    public void vanished(long nanos) {
        // whoever identifies a device knows that they pulled the plug
    }

    private byte[] before(int number) {
        if (last[number] == null) {
            last[number] = new byte[ReportDecoder.LONGEST];
        }
        return last[number];
    }

    /**
     * Whether a report descriptor (HID 1.11, 6.2.2) numbers its reports: whether it has a Report ID item. The low two
     * bits of an item's first byte are its length, where 3 stands for 4; 0xfe begins a long item with its length next.
     */
    static boolean numbersReports(byte[] descriptor) {
        int at = 0;
        while (at < descriptor.length) {
            int prefix = Byte.toUnsignedInt(descriptor[at]);
            if (prefix == 0xfe && at + 1 < descriptor.length) {
                at += 3 + Byte.toUnsignedInt(descriptor[at + 1]);
                continue;
            }
            if ((prefix & 0xfc) == 0x84) {
                return true;
            }
            at += 1 + ((prefix & 3) == 3 ? 4 : prefix & 3);
        }
        return false;
    }
}
