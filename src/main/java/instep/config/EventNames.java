package instep.config;

import instep.config.Node.Scalar;
import instep.gesture.Contact;
import instep.machine.Vocabulary;
import java.util.List;
import java.util.Optional;

/** Event descriptors: from the short forms that may be written to the full ones, and what is wrong with those that match nothing. */
final class EventNames {
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
        if (full.isEmpty()) {
            blame(descriptor, text);
        }
        return full;
    }

    /** Blames the contact rather than the event where it is the contact that does not exist. */
    private void blame(Scalar descriptor, String text) {
        // A threshold such as "hold 1.5s" has a dot of its own.
        int hold = text.indexOf(".hold ");
        int dot = hold >= 0 ? hold : text.lastIndexOf('.');
        for (String member : (dot < 0 ? text : text.substring(0, dot)).split("\\+", -1)) {
            String subject = member.trim();
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
        if (hold >= 0) {
            scope.faults()
                    .add(
                            descriptor.place(),
                            "expected a time without a space in it after hold, such as \"left.hold 2s\", found "
                                    + Words.quote(text));
        } else {
            events.refer(text, descriptor.place());
        }
    }

    /** Says what was named in vain. */
    void reportMissing() {
        events.report(scope.faults());
    }
}
