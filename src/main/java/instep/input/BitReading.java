package instep.input;

import java.nio.ByteBuffer;

/** All bits of the raw reports of a device whose descriptor cannot be read, as far as they change. Numbered reports are compared with the last of their number. */
final class BitReading implements LoopSource.Reading {
    /** Where the changes go. */
    interface Bits {
        void bit(int report, int byteIndex, int bit, boolean closed, long nanos);
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
        int report = numbered ? Byte.toUnsignedInt(buffer.get(0)) : 0;
        byte[] before = before(report);
        for (int i = numbered ? 1 : 0; i < length; i++) {
            int now = Byte.toUnsignedInt(buffer.get(i));
            int last = Byte.toUnsignedInt(before[i]);
            // What closes comes first, so that a running number never seems to be at rest between two values.
            tell(report, i, now & ~last, true, nanos);
            tell(report, i, last & ~now, false, nanos);
            before[i] = (byte) now;
        }
    }

    private void tell(int report, int byteIndex, int changed, boolean closed, long nanos) {
        for (int bit = 0; bit < Byte.SIZE; bit++) {
            if ((changed >> bit & 1) != 0) {
                bits.bit(report, byteIndex, bit, closed, nanos);
            }
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
}
