package instep.input;

import java.util.stream.IntStream;

/** Which contacts of a device are closed; what changes that is an edge. All are open at first. Allocates nothing after it is made. Not thread-safe. */
final class Levels {
    private final int[] contacts;
    private final boolean[] closed;
    private final InputListener listener;

    /** For the contacts of these numbers, which are known here by their places. */
    Levels(IntStream contacts, InputListener listener) {
        this.contacts = contacts.toArray();
        closed = new boolean[this.contacts.length];
        this.listener = listener;
    }

    boolean isClosed(int place) {
        return closed[place];
    }

    void set(int place, boolean close, boolean lost, long nanos) {
        if (closed[place] != close) {
            closed[place] = close;
            listener.edge(contacts[place], close, lost, nanos);
        }
    }

    /** Opens all that is closed: nothing is known of the device any more. */
    void vanished(long nanos) {
        for (int i = 0; i < closed.length; i++) {
            set(i, false, true, nanos);
        }
    }
}
