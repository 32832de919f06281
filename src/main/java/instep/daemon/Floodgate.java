package instep.daemon;

import instep.config.Settings;
import instep.gesture.Contact;
import instep.input.InputListener;
import java.util.List;

/**
 * Keeps a contact that never stops toggling from filling the disk and from cutting on and on: of more edges in a second than a foot, a bouncing contact or a dial could make
 * the rest are left out, and with the first of them the contact counts as released, until it has been quiet for a second. It stands before the record: what is left
 * out is not in the journal, so that a replay hears what the machine heard. Allocates nothing where nothing floods. Loop thread only.
 */
public final class Floodgate implements InputListener {
    /** Ten times what a dial that is spun by hand gives, and half of what a contact can that a device reads each millisecond. Common practice, no source. */
    static final int MOST = 500;

    private static final long SECOND = 1_000_000_000L;

    private final List<String> contacts;
    private final InputListener next;
    private final long[] since;
    private final long[] last;
    private final int[] count;
    private final boolean[] closed;

    /**
     * Stands before somebody.
     *
     * @param contacts their full names, by their numbers
     */
    Floodgate(List<String> contacts, InputListener next) {
        this.contacts = List.copyOf(contacts);
        this.next = next;
        since = new long[contacts.size()];
        last = new long[contacts.size()];
        count = new int[contacts.size()];
        closed = new boolean[contacts.size()];
    }

    /** Stands before somebody who knows the contacts of that configuration by their numbers. */
    public static Floodgate before(InputListener next, Settings settings) {
        return new Floodgate(settings.contacts().stream().map(Contact::fullName).toList(), next);
    }

    /** Goes on where another stood that knew some of the contacts; by contact: its number there, or negative. */
    void goOnFrom(Floodgate other, int[] theirs) {
        for (int contact = 0; contact < theirs.length; contact++) {
            int old = theirs[contact];
            if (old >= 0) {
                since[contact] = other.since[old];
                last[contact] = other.last[old];
                count[contact] = other.count[old];
                closed[contact] = other.closed[old];
            }
        }
    }

    @Override
    public void edge(int contact, boolean close, boolean lost, long nanos) {
        boolean quiet = nanos - last[contact] >= SECOND;
        boolean flooded = count[contact] > MOST;
        last[contact] = nanos;
        if (flooded ? quiet : quiet || nanos - since[contact] >= SECOND) {
            reopen(contact, flooded, nanos);
        }
        count[contact] = Math.min(count[contact], Integer.MAX_VALUE - 1) + 1;
        if (count[contact] <= MOST) {
            pass(contact, close, lost, nanos);
        } else if (count[contact] == MOST + 1) {
            next.oddity(
                    0,
                    contacts.get(contact) + " chatters: more than " + MOST
                            + " edges in a second; it counts as released, and is left out until it has been quiet for a second. Is it worn, or its cable?",
                    nanos);
            pass(contact, false, true, nanos);
        }
    }

    /** A new second begins for it; of one that flooded it is told. */
    private void reopen(int contact, boolean flooded, long nanos) {
        if (flooded) {
            next.oddity(
                    0,
                    contacts.get(contact) + " is quiet again, and counts: " + (count[contact] - MOST)
                            + " edges were left out",
                    nanos);
        }
        since[contact] = nanos;
        count[contact] = 0;
    }

    /** What was left out may have left it on the level that it has; that is no edge. */
    private void pass(int contact, boolean close, boolean lost, long nanos) {
        if (closed[contact] != close) {
            closed[contact] = close;
            next.edge(contact, close, lost, nanos);
        }
    }

    @Override
    public void moved(int contact, double share, long nanos) {
        next.moved(contact, share, nanos);
    }

    @Override
    public void device(int pedal, DeviceState state, String detail, long nanos) {
        next.device(pedal, state, detail, nanos);
    }

    @Override
    public void oddity(int pedal, String sentence, long nanos) {
        next.oddity(pedal, sentence, nanos);
    }
}
