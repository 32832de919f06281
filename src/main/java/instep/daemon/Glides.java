package instep.daemon;

import instep.gesture.Glide;
import instep.gesture.Moves;
import instep.gesture.Recognizer;
import instep.input.PedalSettings;
import java.util.List;
import java.util.Map;
import java.util.TreeMap;
import org.jspecify.annotations.Nullable;

/** The positions of all analog contacts that are sent: from the devices to whoever sends them, no more often than the settings say. Loop thread only. */
final class Glides {
    /** Where they go. */
    interface Sink {
        /** The contact is there now: {@code text} is the value for the message. */
        void position(int contact, int message, String text, long at);
    }

    private record Sent(int contact, int message, Glide glide) {}

    /** By contact, so that what is due at the same time is sent in the order of the file. */
    private final Map<Integer, Sent> sent = new TreeMap<>();

    private final Sink sink;

    Glides(List<PedalSettings> pedals, Sink sink) {
        this.sink = sink;
        for (PedalSettings pedal : pedals) {
            if (pedal instanceof PedalSettings.Events events) {
                events.axes().forEach(axis -> add(axis.contact(), axis.moves()));
            } else if (pedal instanceof PedalSettings.Reports reports) {
                reports.usages().forEach(usage -> add(usage.contact(), usage.moves()));
            } else if (pedal instanceof PedalSettings.Network network) {
                network.contacts().forEach(contact -> add(contact.contact(), contact.moves()));
            } else if (pedal instanceof PedalSettings.Midi midi) {
                midi.contacts().forEach(contact -> add(contact.contact(), contact.moves()));
            }
        }
    }

    private void add(int contact, @Nullable Moves moves) {
        if (moves != null) {
            sent.put(contact, new Sent(contact, moves.message(), new Glide(moves)));
        }
    }

    /** Takes a position, a share of the way. */
    void moved(int contact, double share, long at) {
        Sent one = sent.get(contact);
        if (one != null && one.glide().moved(share, at)) {
            tell(one, at);
        }
    }

    /** When the next position is due that had to wait. */
    long nextDeadline() {
        long next = Recognizer.NEVER;
        for (Sent one : sent.values()) {
            next = Math.min(next, one.glide().deadline());
        }
        return next;
    }

    /** Tells what is due by then. */
    void advanceTo(long until) {
        for (Sent one : sent.values()) {
            long due = one.glide().deadline();
            if (due <= until && one.glide().timedOut(due)) {
                tell(one, due);
            }
        }
    }

    private void tell(Sent one, long at) {
        sink.position(one.contact(), one.message(), one.glide().text(), at);
    }
}
