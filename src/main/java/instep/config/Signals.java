package instep.config;

import instep.config.Node.Entry;
import java.util.HashMap;
import java.util.Map;
import org.jspecify.annotations.Nullable;

/** The signals of one device that are taken: each is one contact, and all are read in one way. */
final class Signals {
    private final Scalars scalars;
    private final Map<String, Entry> taken = new HashMap<>();
    private @Nullable SignalKind first;
    /** How many faults there were before the contact that is read now. */
    private int faultsBefore;

    Signals(Scalars scalars) {
        this.scalars = scalars;
    }

    /** Whether a contact of that kind can stand beside those so far; if not, that is noted. */
    boolean fits(SignalKind kind, Entry entry) {
        faultsBefore = scalars.faults().count();
        if (first == null) {
            first = kind;
        }
        boolean fits = first.way() == kind.way();
        if (!fits) {
            scalars.faults()
                    .add(
                            entry.place(),
                            "the contacts of one device are all events (key, axis, wheel), all in its reports"
                                    + " (usage, byte) or all MIDI (note, controller, program); expected the same as above");
        }
        return fits;
    }

    /**
     * Takes a signal; notes if it is another contact's. One that could not be read as it stands is nobody's.
     *
     * @param shown the signal as it was written
     */
    void take(String signal, String shown, Entry entry) {
        if (scalars.faults().count() > faultsBefore) {
            return;
        }
        Entry before = taken.putIfAbsent(signal, entry);
        if (before != null) {
            scalars.faults()
                    .add(
                            entry.value().place(),
                            shown + " is already the contact " + Words.quote(before.name()) + " "
                                    + Words.at(before.place(), entry.value().place()) + "; expected another signal for "
                                    + Words.quote(entry.name()));
        }
    }
}
