package instep.input;

import java.nio.ByteBuffer;
import java.util.List;

/**
 * From raw HID reports to contacts: a control that differs from the last report that had it is an edge, or a move. All are open before
 * the first report. Allocates nothing after it is made. Not thread-safe.
 */
final class ReportDecoder {
    /** The longest report that is looked at; the rest of a longer one is cut off. */
    static final int LONGEST = 4096;

    private final ReportContact[] contacts;
    private final Levels levels;
    private final double[] positions;
    private final InputListener listener;

    ReportDecoder(List<ReportContact> contacts, InputListener listener) {
        this.contacts = contacts.toArray(ReportContact[]::new);
        levels = new Levels(contacts.stream().mapToInt(ReportContact::contact), listener);
        positions = new double[this.contacts.length];
        this.listener = listener;
    }

    /** Takes one report, which begins at index 0; a control that it does not have whole is unchanged. */
    void report(ByteBuffer report, int length, long nanos) {
        for (int i = 0; i < contacts.length; i++) {
            double share = contacts[i].share(report, length);
            if (!Double.isNaN(share)) {
                levels.set(i, contacts[i].threshold().closed(levels.isClosed(i), share), false, nanos);
                move(i, share, nanos);
            }
        }
    }

    /** Opens all that is closed: the device is gone. */
    void vanished(long nanos) {
        levels.vanished(nanos);
    }

    private void move(int i, double share, long nanos) {
        if (contacts[i].isSent() && positions[i] != share) {
            positions[i] = share;
            listener.moved(contacts[i].contact(), share, nanos);
        }
    }
}
