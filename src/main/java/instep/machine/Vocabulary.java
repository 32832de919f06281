package instep.machine;

import instep.gesture.Contact;
import instep.time.FrameRate;
import java.util.List;
import java.util.Optional;

/** The events that can occur, and the short forms in which a configuration may name them. */
public final class Vocabulary {
    private final List<Contact> contacts;

    private Vocabulary(List<Contact> contacts) {
        this.contacts = contacts;
    }

    /**
     * The events of these contacts and gear.
     *
     * @param contacts in the order of their numbers
     * @param gear names of the gear, whose events are {@code up}, {@code lost}, {@code refused} and {@code silent}
     * @param others events that the mapping itself raises
     */
    public static Vocabulary of(List<Contact> contacts, List<String> gear, List<String> others, FrameRate rate) {
        return new Vocabulary(List.copyOf(contacts));
    }

    /**
     * The full form of an event descriptor, matched by dotted prefix (SCXML 3.12.1): {@code left.press} becomes
     * {@code floor.left.press} where only the pedal {@code floor} has a contact {@code left}. Empty if no event can match.
     */
    public Optional<String> canonical(String descriptor) {
        return Optional.of(descriptor);
    }

    /** All words that {@link #canonical} takes, for suggestions. */
    public List<String> words() {
        return List.of();
    }

    /** The contacts, in the order of their numbers. */
    public List<Contact> contacts() {
        return contacts;
    }
}
