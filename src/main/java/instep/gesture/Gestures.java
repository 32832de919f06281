package instep.gesture;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;

/**
 * All gestures that can be recognised, each with a number. A gesture has a source: one of the contacts, or a chord of them, which counts
 * as a contact that closes when all its members have closed. The numbers of sources are those of the contacts, then those of the chords.
 */
public final class Gestures {
    private static final int KINDS = GestureKind.values().length;

    private final List<Contact> contacts;
    private final List<Chord> chords;
    private final List<NamedHold> namedHolds;

    /**
     * Contacts that close together.
     *
     * @param members numbers of two or more contacts, rising
     */
    public record Chord(List<Integer> members) {
        public Chord {
            members = List.copyOf(members);
            if (members.size() < 2) {
                throw new IllegalArgumentException("a chord has two contacts or more");
            }
        }
    }

    /**
     * A hold with a threshold of its own.
     *
     * @param source the number of the contact or chord
     * @param words as written, {@code hold 2s}
     */
    public record NamedHold(int source, long nanos, String words) {}

    public Gestures(List<Contact> contacts, List<Chord> chords, List<NamedHold> namedHolds) {
        this.contacts = List.copyOf(contacts);
        this.chords = List.copyOf(chords);
        this.namedHolds = List.copyOf(namedHolds);
    }

    /** How many gestures there are; their numbers are below that. */
    public int count() {
        return sources() * KINDS + namedHolds.size();
    }

    /** How many contacts and chords there are. */
    public int sources() {
        return contacts.size() + chords.size();
    }

    /** The number of a gesture. */
    public int number(int source, GestureKind kind) {
        return source * KINDS + kind.number();
    }

    /** The number of a hold with its own threshold, by its place in the list. */
    public int numberOfNamedHold(int index) {
        return sources() * KINDS + index;
    }

    /** The number of the contact or chord that makes a gesture. */
    public int source(int gesture) {
        int named = gesture - sources() * KINDS;
        return named >= 0 ? namedHolds.get(named).source() : gesture / KINDS;
    }

    /** The number of the contact that stands for a gesture: its own, or the first of its chord. */
    public int contact(int gesture) {
        int source = source(gesture);
        return source < contacts.size()
                ? source
                : chords.get(source - contacts.size()).members().get(0);
    }

    /** The contacts that make a gesture: one, or those of its chord. */
    public List<Integer> members(int gesture) {
        int source = source(gesture);
        return source < contacts.size()
                ? List.of(source)
                : chords.get(source - contacts.size()).members();
    }

    /** The contacts that make up a source: one, or those of its chord. */
    List<Integer> membersOf(int source) {
        return source < contacts.size()
                ? List.of(source)
                : chords.get(source - contacts.size()).members();
    }

    /**
     * The source that is made up of these contacts of others; -1 if there is none.
     *
     * @param here by contact of theirs: its number here, or negative
     */
    int source(List<Integer> theirs, int[] here) {
        List<Integer> members =
                theirs.stream().map(contact -> here[contact]).sorted().toList();
        for (int source = 0; source < sources(); source++) {
            if (membersOf(source).equals(members)) {
                return source;
            }
        }
        return -1;
    }

    /** What sort of gesture it is. */
    public GestureKind kind(int gesture) {
        return gesture >= sources() * KINDS ? GestureKind.HOLD : GestureKind.numbered(gesture % KINDS);
    }

    /** How long the contacts are closed before a gesture of the kind hold: its own threshold, or its contact's. */
    public long holdNanos(int gesture) {
        int named = gesture - sources() * KINDS;
        return named >= 0
                ? namedHolds.get(named).nanos()
                : contacts.get(contact(gesture)).timing().hold();
    }

    /** Whether a contact of that pedal unit has a part in a gesture. */
    public boolean involves(int gesture, String pedal) {
        return members(gesture).stream()
                .anyMatch(member -> contacts.get(member).pedal().equals(pedal));
    }

    /** Full names of all gestures, by number: the names of their events. */
    public List<String> names() {
        List<String> names = new ArrayList<>();
        for (int source = 0; source < sources(); source++) {
            String sourceName = sourceName(source);
            Arrays.stream(GestureKind.values()).forEach(kind -> names.add(sourceName + "." + kind.word()));
        }
        namedHolds.forEach(hold -> names.add(sourceName(hold.source()) + "." + hold.words()));
        return names;
    }

    /** The full name of a contact, or those of a chord's contacts joined by {@code +}. */
    public String sourceName(int source) {
        if (source < contacts.size()) {
            return contacts.get(source).fullName();
        }
        List<String> members = chords.get(source - contacts.size()).members().stream()
                .map(member -> contacts.get(member).fullName())
                .toList();
        return String.join("+", members);
    }

    /** The contacts, by number. */
    public List<Contact> contacts() {
        return contacts;
    }

    /** The chords, in the order of their numbers. */
    public List<Chord> chords() {
        return chords;
    }

    /** The holds with thresholds of their own. */
    public List<NamedHold> namedHolds() {
        return namedHolds;
    }
}
