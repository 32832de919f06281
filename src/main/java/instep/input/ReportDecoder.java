package instep.input;

import java.nio.ByteBuffer;
import java.util.List;

/**
 * From raw HID reports to contacts: a bit that differs from the last report that had it is an edge. All are open before
 * the first report. Allocates nothing after it is made. Not thread-safe.
 */
final class ReportDecoder {
    /** The longest report that is looked at; the rest of a longer one is cut off. */
    static final int LONGEST = 4096;

    private final int[] contacts;
    private final int[] bytes;
    private final int[] masks;
    private final boolean[] closed;
    private final InputListener listener;

    ReportDecoder(List<PedalSettings.ReportBit> bits, InputListener listener) {
        contacts = bits.stream().mapToInt(PedalSettings.ReportBit::contact).toArray();
        bytes = bits.stream().mapToInt(PedalSettings.ReportBit::byteIndex).toArray();
        masks = bits.stream().mapToInt(bit -> 1 << bit.bit()).toArray();
        closed = new boolean[contacts.length];
        this.listener = listener;
    }

    /** Takes one report, which begins at index 0; a bit in a byte that it does not have is unchanged. */
    void report(ByteBuffer report, int length, long nanos) {
        for (int i = 0; i < contacts.length; i++) {
            if (bytes[i] < length) {
                set(i, (report.get(bytes[i]) & masks[i]) != 0, false, nanos);
            }
        }
    }

    /** Opens all that is closed: the device is gone. */
    void vanished(long nanos) {
        for (int i = 0; i < contacts.length; i++) {
            set(i, false, true, nanos);
        }
    }

    private void set(int i, boolean close, boolean lost, long nanos) {
        if (closed[i] != close) {
            closed[i] = close;
            listener.edge(contacts[i], close, lost, nanos);
        }
    }
}
