package instep.config;

import instep.config.Node.Scalar;
import instep.gesture.Contact;
import instep.machine.Place;
import instep.machine.Vocabulary;
import instep.time.Durations;
import java.util.Arrays;
import java.util.HashSet;
import java.util.List;
import java.util.Optional;
import java.util.regex.Pattern;

/** Event descriptors: from the short forms that may be written to the full ones, and what is wrong with those that match nothing. */
final class EventNames {
    private static final String HOLD = "hold ";
    private static final Pattern NO_SPACE = Pattern.compile("[^:]+:[{\\[].*", Pattern.DOTALL);

    private final Vocabulary vocabulary;
    private final Scope scope;
    private final Names events = new Names("event");

    EventNames(Vocabulary vocabulary, Scope scope) {
        this.vocabulary = vocabulary;
        this.scope = scope;
        List<String> gear = scope.gear().all();
        vocabulary.words().forEach(w -> events.declare(w, Scope.NOWHERE));
        gear.forEach(g -> scope.contacts().declare(g, Scope.NOWHERE));
        vocabulary.contacts().forEach(c -> scope.contacts().declare(c.pedal(), Scope.NOWHERE));
    }

    /** The full form; empty, with a fault to come, if there is no such event. */
    Optional<String> canonical(Scalar descriptor) {
        String text = descriptor.text();
        Optional<String> full = vocabulary.canonical(text);
        if (text.startsWith(Vocabulary.DONE)) {
            scope.states().refer(text.substring(Vocabulary.DONE.length()), descriptor.place());
        }
        if (full.isEmpty()) {
            blame(descriptor, text);
        } else {
            checkHold(descriptor, full.get());
        }
        return full;
    }

    /** A time of its own that is within the debounce would make a hold of every touch. */
    private void checkHold(Scalar descriptor, String full) {
        int dot = Vocabulary.dotBeforeGesture(full);
        String gesture = full.substring(dot + 1);
        if (!gesture.startsWith(HOLD)) {
            return;
        }
        long hold = Durations.parse(
                gesture.substring(HOLD.length()), scope.scalars().rate());
        List<String> members = List.of(full.substring(0, dot).split("\\+", -1));
        boolean isBounce = vocabulary.contacts().stream()
                .filter(contact -> members.contains(contact.fullName()))
                .anyMatch(contact -> hold <= contact.timing().debounce());
        if (isBounce) {
            scope.faults()
                    .add(
                            timeOf(descriptor, Vocabulary.dotBeforeGesture(descriptor.text())),
                            "the hold is not longer than the debounce; expected a longer hold or a shorter debounce");
        }
    }

    /** Blames the contact rather than the event where it is the contact that does not exist. */
    private void blame(Scalar descriptor, String text) {
        if (NO_SPACE.matcher(text).matches()) {
            scope.faults()
                    .add(
                            descriptor.place(),
                            "expected a space after the colon in "
                                    + Words.quote(text.substring(0, text.indexOf(':') + 2)));
            return;
        }
        int dot = Vocabulary.dotBeforeGesture(text);
        List<String> members = Arrays.stream((dot < 0 ? text : text.substring(0, dot)).split("\\+", -1))
                .map(String::trim)
                .toList();
        for (String subject : members) {
            List<String> pedals = vocabulary.contacts().stream()
                    .filter(c -> c.name().equals(subject))
                    .map(Contact::fullName)
                    .toList();
            if (pedals.size() > 1) {
                scope.faults()
                        .add(
                                descriptor.place(),
                                Words.quote(subject) + " is a contact of more than one pedal; expected "
                                        + Words.either(pedals) + " in " + Words.quote(text));
                return;
            }
            boolean isNearEvent = Words.nearest(text, vocabulary.words()).isPresent()
                    && Words.nearest(subject, scope.contacts().all()).isEmpty();
            if (!isNearEvent && !scope.contacts().refer(subject, descriptor.place())) {
                return;
            }
        }
        String gesture = text.substring(dot + 1);
        if (new HashSet<>(members).size() < members.size()) {
            scope.faults()
                    .add(
                            descriptor.place(),
                            Words.quote(text)
                                    + " names a contact twice; expected a chord of different contacts, such as left+right.press");
        } else if (gesture.startsWith(HOLD)) {
            scope.faults()
                    .add(
                            timeOf(descriptor, dot),
                            "expected a time after hold, such as 500ms, 2s or 12f (frames), without a space in it, found "
                                    + Words.quote(gesture.substring(HOLD.length())));
        } else {
            events.refer(text, descriptor.place());
        }
    }

    /** Where the time of a hold stands, if nothing in the text can have shifted it. */
    private static Place timeOf(Scalar descriptor, int dot) {
        Place place = descriptor.place();
        int offset = dot + 1 + HOLD.length();
        return descriptor.plain() ? new Place(place.file(), place.line(), place.column() + offset) : place;
    }

    /** Says what was named in vain. */
    void reportMissing() {
        events.report(scope.faults());
    }
}
