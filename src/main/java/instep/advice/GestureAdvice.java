package instep.advice;

import instep.gesture.Contact;
import instep.gesture.GestureKind;
import instep.machine.Chart;
import instep.machine.Cond;
import instep.machine.StateNode;
import instep.machine.TransitionNode;
import java.util.ArrayList;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import java.util.stream.Stream;

/** Gestures of one contact that get in each other's way, and transitions that leave more than they seem to: a sentence for each. */
final class GestureAdvice {
    /** What a press can become while it lasts or when it ends. */
    private static final List<GestureKind> LATER =
            List.of(GestureKind.TAP, GestureKind.HOLD, GestureKind.DOUBLE_TAP, GestureKind.TRIPLE_TAP);

    private static final String NAMED_HOLD = "." + GestureKind.HOLD.word() + " ";

    private final Chart chart;
    private final EventWords words;
    private final Set<String> sentences = new LinkedHashSet<>();

    private GestureAdvice(Chart chart, List<Contact> contacts) {
        this.chart = chart;
        words = new EventWords(contacts);
    }

    static List<String> of(Chart chart, List<Contact> contacts) {
        GestureAdvice advice = new GestureAdvice(chart, contacts);
        for (int state = 0; state < chart.stateCount(); state++) {
            for (Contact contact : contacts) {
                advice.overtaken(state, contact);
                advice.both(state, contact);
            }
            advice.reentered(state);
        }
        return List.copyOf(advice.sentences);
    }

    /** What follows a press or a shorter hold is not heard in a state which that has left. */
    private void overtaken(int state, Contact contact) {
        List<TransitionNode> own = chart.state(state).transitions();
        Optional<TransitionNode> press = leaving(state, event(contact, GestureKind.PRESS));
        Optional<TransitionNode> hold = leaving(state, event(contact, GestureKind.HOLD));
        for (TransitionNode later : own) {
            for (String event : later.events()) {
                if (press.isPresent() && follows(contact, event)) {
                    overtaken(later, event, press.get(), event(contact, GestureKind.PRESS));
                } else if (hold.isPresent() && isLongerHold(contact, event)) {
                    overtaken(later, event, hold.get(), event(contact, GestureKind.HOLD));
                }
            }
        }
    }

    private void overtaken(TransitionNode later, String event, TransitionNode first, String before) {
        sentences.add(later.place() + ": " + words.shortName(event) + " begins with " + words.shortName(before)
                + ", which leads to \"" + String.join("\" and \"", first.targets())
                + "\" first; so it is hardly ever heard here. Should it stand there?");
    }

    /** What a press does at once is done as well where it turns out to be the beginning of something else. */
    private void both(int state, Contact contact) {
        Optional<TransitionNode> press = heard(state)
                .filter(transition -> transition.events().contains(event(contact, GestureKind.PRESS)))
                .findFirst()
                .filter(TransitionNode::acts);
        for (TransitionNode later : heard(state).filter(TransitionNode::acts).toList()) {
            boolean isOwn = Stream.of(later, press.orElse(later))
                    .anyMatch(chart.state(state).transitions()::contains);
            for (String event : later.events()) {
                if (press.isPresent() && isOwn && doesBoth(press.get(), later, contact, event)) {
                    sentences.add(later.place() + ": " + words.shortName(event) + " begins with "
                            + words.shortName(event(contact, GestureKind.PRESS)) + ", for which line "
                            + press.get().place().line() + " has acted by then"
                            + (cuts(press.get()) && cuts(later)
                                    ? "; both cuts bear the instant of the press, so that the first has no shot of its own"
                                    : "")
                            + ". To have one or the other, write "
                            + words.shortName(event(contact, GestureKind.TAP)) + " there");
                }
            }
        }
    }

    /** A hold may well do something other than cut beside a press; of several taps each is a press, too. */
    private static boolean doesBoth(TransitionNode press, TransitionNode later, Contact contact, String event) {
        boolean isTaps = event.equals(event(contact, GestureKind.DOUBLE_TAP))
                || event.equals(event(contact, GestureKind.TRIPLE_TAP));
        boolean isHold =
                event.equals(event(contact, GestureKind.HOLD)) || event.startsWith(contact.fullName() + NAMED_HOLD);
        return !press.equals(later) && press.targets().isEmpty() && (isTaps || (isHold && cuts(press) && cuts(later)));
    }

    private Stream<TransitionNode> heard(int state) {
        return chart.around(state).flatMap(s -> chart.state(s).transitions().stream());
    }

    private static boolean cuts(TransitionNode transition) {
        return transition.angle() != null;
    }

    private static boolean follows(Contact contact, String event) {
        return event.startsWith(contact.fullName() + NAMED_HOLD)
                || LATER.stream().anyMatch(kind -> event.equals(event(contact, kind)));
    }

    private boolean isLongerHold(Contact contact, String event) {
        return event.startsWith(contact.fullName() + NAMED_HOLD)
                && chart.gestures().holdNanos(chart.event(event))
                        > contact.timing().hold();
    }

    /** The transition that takes the event whenever it comes, at once and out of the state. */
    private Optional<TransitionNode> leaving(int state, String event) {
        return chart.state(state).transitions().stream()
                .filter(transition -> transition.events().contains(event))
                .findFirst()
                .filter(transition -> transition.cond().equals(Cond.ALWAYS)
                        && transition.afterNanos() < 0
                        && !transition.targets().isEmpty()
                        && transition.targets().stream().noneMatch(target -> isIn(target, state)));
    }

    /** An external transition leaves its state also where it leads inside (SCXML 1.0, section 3.13). */
    private void reentered(int state) {
        StateNode node = chart.state(state);
        for (TransitionNode transition : node.transitions()) {
            boolean isInside = state > 0
                    && !transition.targets().isEmpty()
                    && transition.targets().stream().allMatch(target -> isIn(target, state));
            boolean isItself = transition.targets().contains(node.name());
            if (isInside && !transition.internal() && !(isItself && !node.rolling())) {
                List<String> consequences = consequences(node);
                if (!consequences.isEmpty()) {
                    sentences.add(
                            transition.place() + ": this leaves \"" + node.name() + "\" and enters it again, so that "
                                    + String.join(", and ", consequences)
                                    + (isItself ? "" : ". If it is to stay, write internal: true beside the target"));
                }
            }
        }
    }

    private static List<String> consequences(StateNode node) {
        List<String> consequences = new ArrayList<>();
        if (node.rolling()) {
            consequences.add("the take that is open ends and another one begins");
        }
        if (!node.onEntry().isEmpty() || !node.onExit().isEmpty()) {
            consequences.add("what it does on entry and on exit is done again");
        }
        if (node.transitions().stream().anyMatch(TransitionNode::isDetour)) {
            consequences.add("its detours end");
        }
        return consequences;
    }

    private boolean isIn(String target, int state) {
        return chart.around(chart.stateNumber(target)).anyMatch(s -> s == state);
    }

    private static String event(Contact contact, GestureKind kind) {
        return contact.fullName() + "." + kind.word();
    }
}
