package instep.advice;

import instep.gesture.Contact;
import instep.machine.Action;
import instep.machine.Cond;
import instep.machine.TransitionNode;
import instep.time.Durations;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.stream.Collectors;

/** Events, actions and transitions in a few words for a person. */
public final class EventWords {
    private final List<Contact> contacts;
    private final Map<String, Long> names;

    public EventWords(List<Contact> contacts) {
        this.contacts = contacts;
        names = contacts.stream().collect(Collectors.groupingBy(Contact::name, Collectors.counting()));
    }

    /** A contact by its own name alone where that is enough. */
    String shortName(String event) {
        String text = event;
        for (Contact contact : contacts) {
            if (names.getOrDefault(contact.name(), 0L) == 1) {
                text = replaceName(text, contact);
            }
        }
        return text;
    }

    private static String replaceName(String event, Contact contact) {
        String full = contact.fullName();
        return event.equals(full)
                ? contact.name()
                : event.replace(full + ".", contact.name() + ".").replace(full + "+", contact.name() + "+");
    }

    /** All that a transition does. */
    String what(TransitionNode transition) {
        List<String> words = new ArrayList<>();
        if (!transition.targets().isEmpty()) {
            words.add("to " + String.join(" and ", transition.targets()));
        }
        if (transition.angle() != null) {
            words.add("cut to " + transition.angle());
        }
        if (transition.isDetour()) {
            words.add(untils(transition));
        }
        if (transition.afterNanos() >= 0) {
            words.add("after " + Durations.ofNanos(transition.afterNanos()));
        }
        transition.actions().forEach(action -> words.add(action(action)));
        return (words.isEmpty() ? "nothing" : String.join(", ", words)) + condition(transition);
    }

    /** What must hold for a transition to be taken, with "if" before it; empty if it always is. */
    static String condition(TransitionNode transition) {
        return transition.cond().equals(Cond.ALWAYS) ? "" : " if " + words(transition.cond());
    }

    private static String words(Cond cond) {
        if (cond instanceof Cond.All all) {
            return all.conds().stream().map(EventWords::words).collect(Collectors.joining(" and "));
        } else if (cond instanceof Cond.Any any) {
            return any.conds().stream().map(EventWords::words).collect(Collectors.joining(" or ", "(", ")"));
        } else if (cond instanceof Cond.Not not) {
            return "not (" + words(not.cond()) + ")";
        } else if (cond instanceof Cond.In in) {
            return "in " + in.state();
        } else if (cond instanceof Cond.Equals equals) {
            return equals.name() + " is " + equals.constant();
        } else if (cond instanceof Cond.Above above) {
            return above.name() + " is above " + above.bound();
        }
        Cond.Below below = (Cond.Below) cond;
        return below.name() + " is below " + below.bound();
    }

    /** What ends a detour. */
    String untils(TransitionNode transition) {
        List<String> ends = new ArrayList<>(transition.untilEvents().stream()
                .map(event -> "at " + shortName(event))
                .toList());
        if (transition.untilNanos() >= 0) {
            ends.add(Durations.ofNanos(transition.untilNanos()) + " later");
        }
        return "back " + String.join(" or ", ends);
    }

    String action(Action action) {
        if (action instanceof Action.Send send) {
            return "send " + send.message();
        } else if (action instanceof Action.Mark mark) {
            return "mark " + mark.kind();
        } else if (action instanceof Action.Set set) {
            return "set " + set.name();
        }
        return "raise " + ((Action.Raise) action).event();
    }
}
