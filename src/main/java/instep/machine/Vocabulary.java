package instep.machine;

import instep.gesture.Contact;
import instep.gesture.GestureKind;
import instep.gesture.Gestures;
import instep.time.Durations;
import instep.time.FrameRate;
import instep.time.TimeSyntaxException;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.TreeSet;

/** The events that can occur, and the short forms in which a configuration may name them. */
public final class Vocabulary {
    /** What can happen to a gear's link and to what it was told. */
    public static final List<String> GEAR_EVENTS = List.of("up", "lost", "refused", "silent", "stopped");

    /** What can happen to a pedal unit as a whole. */
    public static final List<String> PEDAL_EVENTS = List.of("up", "lost");

    /** A hold with a threshold of its own begins so. */
    private static final String HOLD = GestureKind.HOLD.word() + " ";

    /** The event that a state is done begins so (SCXML 3.7.1). */
    public static final String DONE = "done.state.";

    private final List<Contact> contacts;
    private final List<String> gear;
    private final List<String> plain;
    private final Set<String> prefixes = new LinkedHashSet<>();
    private final Map<String, Integer> references = new LinkedHashMap<>();
    private final FrameRate rate;

    private Vocabulary(List<Contact> contacts, List<String> gear, List<String> plain, FrameRate rate) {
        this.contacts = contacts;
        this.gear = gear;
        this.plain = plain;
        this.rate = rate;
        nameContacts();
        prefixes.add("*");
        contacts.forEach(contact -> prefixes.add(contact.pedal()));
        for (String event : plain) {
            for (int dot = event.indexOf('.'); dot >= 0; dot = event.indexOf('.', dot + 1)) {
                prefixes.add(event.substring(0, dot));
            }
            prefixes.add(event);
        }
    }

    /**
     * The events of these contacts and gear.
     *
     * @param contacts in the order of their numbers
     * @param gear names of the gear, whose events are {@link #GEAR_EVENTS}
     * @param others events that the mapping itself raises
     * @param rate at which frames in a threshold such as {@code hold 12f} are counted
     */
    public static Vocabulary of(List<Contact> contacts, List<String> gear, List<String> others, FrameRate rate) {
        Set<String> plain = new LinkedHashSet<>();
        contacts.stream()
                .map(Contact::pedal)
                .distinct()
                .forEach(pedal -> PEDAL_EVENTS.forEach(e -> plain.add(pedal + "." + e)));
        gear.forEach(name -> GEAR_EVENTS.forEach(e -> plain.add(name + "." + e)));
        plain.addAll(others);
        return new Vocabulary(List.copyOf(contacts), List.copyOf(gear), List.copyOf(plain), rate);
    }

    /** A contact goes by its full name, and by its own name alone where no other contact or plain event bears it. */
    private void nameContacts() {
        Map<String, Integer> byName = new LinkedHashMap<>();
        for (int i = 0; i < contacts.size(); i++) {
            byName.merge(contacts.get(i).name(), i, (a, b) -> -1);
        }
        for (int i = 0; i < contacts.size(); i++) {
            references.put(contacts.get(i).fullName(), i);
        }
        byName.forEach((name, contact) -> {
            if (contact >= 0) {
                references.putIfAbsent(name, contact);
            }
        });
    }

    /**
     * The full form of an event descriptor, matched by dotted prefix (SCXML 3.12.1): {@code left.press} becomes
     * {@code floor.left.press} where only the pedal {@code floor} has a contact {@code left}. Empty if no event can match.
     */
    public Optional<String> canonical(String descriptor) {
        String trimmed = descriptor.endsWith(".*") ? descriptor.substring(0, descriptor.length() - 2) : descriptor;
        Optional<String> gesture = canonicalGesture(trimmed);
        if (gesture.isPresent()) {
            return gesture;
        }
        if (prefixes.contains(trimmed) || isDone(trimmed)) {
            return Optional.of(trimmed);
        }
        return Optional.empty();
    }

    private static boolean isDone(String descriptor) {
        return descriptor.equals("done") || descriptor.equals("done.state") || descriptor.startsWith(DONE);
    }

    private Optional<String> canonicalGesture(String descriptor) {
        Integer whole = references.get(descriptor);
        if (whole != null) {
            return Optional.of(contacts.get(whole).fullName());
        }
        int dot = dotBeforeGesture(descriptor);
        if (dot <= 0) {
            return Optional.empty();
        }
        Optional<List<Integer>> sources = members(descriptor.substring(0, dot));
        String words = descriptor.substring(dot + 1);
        if (sources.isEmpty() || !isGesture(words)) {
            return Optional.empty();
        }
        List<String> names =
                sources.get().stream().map(i -> contacts.get(i).fullName()).toList();
        return Optional.of(String.join("+", names) + "." + words);
    }

    private boolean isGesture(String words) {
        return GestureKind.named(words).isPresent() || holdNanos(words) > 0;
    }

    /** Contacts of {@code left} or of a chord {@code left+right}, rising; empty if one is unknown or named twice. */
    private Optional<List<Integer>> members(String source) {
        Set<Integer> members = new TreeSet<>();
        String[] names = source.split("\\+", -1);
        for (String name : names) {
            Integer contact = references.get(name.trim());
            if (contact == null) {
                return Optional.empty();
            }
            members.add(contact);
        }
        return members.size() == names.length ? Optional.of(List.copyOf(members)) : Optional.empty();
    }

    /** The threshold of {@code hold 2s} in nanoseconds; 0 if it is none. */
    private long holdNanos(String words) {
        if (!words.startsWith(HOLD)) {
            return 0;
        }
        try {
            return Durations.parse(words.substring(HOLD.length()), rate);
        } catch (TimeSyntaxException e) {
            return 0;
        }
    }

    /** Where the dot is that stands before the gesture; -1 if there is none. A threshold such as "hold 1.5s" has a dot of its own. */
    public static int dotBeforeGesture(String descriptor) {
        int hold = descriptor.indexOf("." + HOLD);
        return hold >= 0 ? hold : descriptor.lastIndexOf('.');
    }

    /** All gestures of the contacts, with the chords and named holds that these canonical descriptors use. */
    Gestures gestures(List<String> descriptors) {
        Set<Gestures.Chord> chords = new LinkedHashSet<>();
        for (String descriptor : descriptors) {
            if (isGestureOf(descriptor, true)) {
                chords.add(new Gestures.Chord(members(source(descriptor)).orElseThrow()));
            }
        }
        List<Gestures.Chord> chordList = List.copyOf(chords);
        Set<Gestures.NamedHold> holds = new LinkedHashSet<>();
        for (String descriptor : descriptors) {
            int hold = descriptor.indexOf("." + HOLD);
            if (hold >= 0) {
                List<Integer> members = members(source(descriptor)).orElseThrow();
                int source = members.size() == 1
                        ? members.get(0)
                        : contacts.size() + chordList.indexOf(new Gestures.Chord(members));
                String words = descriptor.substring(hold + 1);
                holds.add(new Gestures.NamedHold(source, holdNanos(words), words));
            }
        }
        return new Gestures(contacts, chordList, List.copyOf(holds));
    }

    private boolean isGestureOf(String descriptor, boolean chord) {
        return descriptor.contains("+") == chord && canonicalGesture(descriptor).isPresent();
    }

    private static String source(String descriptor) {
        return descriptor.substring(0, dotBeforeGesture(descriptor));
    }

    /** The names of the gear, each of which has a value, too. */
    List<String> gear() {
        return gear;
    }

    /** The events that are no gestures: of pedals, gear and the mapping itself. */
    List<String> plainEvents() {
        return plain;
    }

    /** All words that {@link #canonical} takes, for suggestions. */
    public List<String> words() {
        List<String> words = new ArrayList<>();
        for (String reference : references.keySet()) {
            for (GestureKind kind : GestureKind.values()) {
                words.add(reference + "." + kind.word());
            }
        }
        words.addAll(plain);
        return words;
    }

    /** The contacts, in the order of their numbers. */
    public List<Contact> contacts() {
        return contacts;
    }
}
