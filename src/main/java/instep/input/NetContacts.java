package instep.input;

import instep.gesture.Threshold;
import java.util.List;
import org.jspecify.annotations.Nullable;

/** The contacts of one port: from what is said of them to edges and positions. Loop thread only. */
final class NetContacts {
    private final List<NetContact> contacts;
    private final InputListener listener;
    private final Levels levels;
    /** When it was last said of a contact that it is closed. */
    private final long[] said;
    /** Whose going opens the contact; null: nobody's, since it is not known when they go. */
    private final @Nullable Object[] holders;

    NetContacts(List<NetContact> contacts, InputListener listener) {
        this.contacts = contacts;
        this.listener = listener;
        levels = new Levels(contacts.stream().mapToInt(NetContact::contact), listener);
        said = new long[contacts.size()];
        holders = new Object[contacts.size()];
    }

    /** It is said that a contact is closed or open. */
    void level(int index, boolean close, @Nullable Object holder, long nanos) {
        said[index] = nanos;
        holders[index] = close ? holder : null;
        levels.set(index, close, false, nanos);
    }

    /** A contact closes and opens in the same instant; one that was closed opens. */
    void step(int index, long nanos) {
        levels.set(index, true, false, nanos);
        levels.set(index, false, false, nanos);
    }

    /** A contact has a value; one that has thresholds or is sent has them on the way from 0 to 1. */
    void value(int index, double value, long nanos) {
        NetContact contact = contacts.get(index);
        if (contact.threshold() == null && contact.moves() == null) {
            level(index, value != 0, null, nanos);
            return;
        }
        double share = Math.min(1, Math.max(0, value));
        Threshold threshold = contact.threshold() == null ? Threshold.DEFAULT : contact.threshold();
        level(index, threshold.closed(levels.isClosed(index), share), null, nanos);
        if (contact.moves() != null) {
            listener.moved(contact.contact(), share, nanos);
        }
    }

    /** Somebody has gone: what they held opens. */
    void left(Object holder, long nanos) {
        for (int i = 0; i < said.length; i++) {
            if (holders[i] == holder) {
                holders[i] = null;
                levels.set(i, false, true, nanos);
            }
        }
    }

    /** Opens what was last said to be closed at that time or before. */
    void silentSince(long then, long nanos) {
        for (int i = 0; i < said.length; i++) {
            if (levels.isClosed(i) && said[i] - then <= 0) {
                holders[i] = null;
                levels.set(i, false, true, nanos);
            }
        }
    }

    /** How long before {@code nanos} the closed contact that is longest silent was spoken of; -1 if none is closed. */
    long longestSilence(long nanos) {
        long longest = -1;
        for (int i = 0; i < said.length; i++) {
            if (levels.isClosed(i)) {
                longest = Math.max(longest, nanos - said[i]);
            }
        }
        return longest;
    }
}
