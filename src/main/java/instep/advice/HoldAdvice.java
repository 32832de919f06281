package instep.advice;

import instep.gesture.GestureKind;
import instep.gesture.Gestures;
import instep.machine.Chart;
import instep.machine.StateNode;
import instep.machine.TransitionNode;
import instep.time.Durations;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.HashSet;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Set;
import java.util.stream.Collectors;
import java.util.stream.Stream;

/** How long one press lasts, and what it does meanwhile that is hardly meant: a sentence for each. */
final class HoldAdvice {
    private final Chart chart;
    private final Gestures gestures;
    private final EventWords words;
    private final List<String> sentences = new ArrayList<>();
    /** Gaps that have been asked about: one for each contact and hold, however many states have it. */
    private final Set<Integer> gaps = new HashSet<>();

    private HoldAdvice(Chart chart) {
        this.chart = chart;
        gestures = chart.gestures();
        words = new EventWords(gestures.contacts());
    }

    /** A hold that something listens to, or a press, which takes no time. */
    private record Hold(TransitionNode transition, int gesture, long nanos) {}

    static List<String> of(Chart chart) {
        HoldAdvice advice = new HoldAdvice(chart);
        for (int state = 0; state < chart.stateCount(); state++) {
            for (int contact = 0; contact < advice.gestures.contacts().size(); contact++) {
                advice.besideTap(state, contact);
                advice.afterAnother(state, contact);
            }
        }
        return List.copyOf(advice.sentences);
    }

    /** A tap ends at the contact's own threshold, however long the shortest hold that is bound takes. */
    private void besideTap(int state, int contact) {
        int tap = gestures.number(contact, GestureKind.TAP);
        long tapEnds = gestures.contacts().get(contact).timing().hold();
        boolean hasTap = chart.around(state).anyMatch(s -> listens(s, tap));
        boolean hasEnd = chart.around(state).anyMatch(s -> listens(s, gestures.number(contact, GestureKind.HOLD_END)));
        if (hasTap && !hasEnd) {
            chart.around(state)
                    .flatMap(s -> holds(s, contact))
                    .min(Comparator.comparingLong(Hold::nanos))
                    .filter(hold -> hold.nanos() != tapEnds
                            && chart.state(state).transitions().contains(hold.transition())
                            && gaps.add(hold.gesture()))
                    .ifPresent(hold -> gap(contact, hold, tapEnds));
        }
    }

    private void gap(int contact, Hold hold, long tapEnds) {
        String name = "\"" + words.shortName(gestures.contacts().get(contact).fullName()) + "\"";
        String tap = shortName(gestures.number(contact, GestureKind.TAP));
        String held = shortName(hold.gesture());
        String plain = shortName(gestures.number(contact, GestureKind.HOLD));
        boolean isGap = hold.nanos() > tapEnds;
        sentences.add(hold.transition().place() + ": let go between "
                + Durations.ofNanos(Math.min(tapEnds, hold.nanos())) + " and "
                + Durations.ofNanos(Math.max(tapEnds, hold.nanos())) + ", " + name
                + (isGap
                        ? " does nothing: it is no " + tap + " any more and no " + held + " yet. To close the gap, "
                        : " does both: it is a " + held + " already and still a " + tap
                                + ". To have one or the other, ")
                + "give the contact hold: " + held.substring(plain.length() + 1) + " and write " + plain
                + ", here and wherever else it is held");
    }

    /** A foot that stays down makes the longer hold as well, in the state to which the shorter one has led. */
    private void afterAnother(int state, int contact) {
        presses(state, contact)
                .filter(press -> press.transition().afterNanos() < 0)
                .forEach(press -> entered(state, press.transition()).stream()
                        .flatMap(inner -> holds(inner, contact))
                        .forEach(hold -> both(press, hold)));
        holds(state, contact)
                .filter(first -> first.transition().afterNanos() < 0)
                .forEach(first -> entered(state, first.transition()).stream()
                        .flatMap(s -> holds(s, contact))
                        .filter(second -> second.nanos() > first.nanos() && acts(second.transition()))
                        .forEach(second -> both(first, second)));
    }

    private void both(Hold first, Hold second) {
        String when = first.nanos() == 0 ? "at once" : "after " + Durations.ofNanos(first.nanos());
        sentences.add(second.transition().place() + ": one long press does both: " + when + " it is "
                + shortName(first.gesture()) + " (line "
                + first.transition().place().line() + "), and if the foot stays down, after "
                + Durations.ofNanos(second.nanos()) + " " + shortName(second.gesture())
                + " as well. If it is to do one thing, take a tap or another contact for the other");
    }

    private static boolean acts(TransitionNode transition) {
        return !transition.targets().isEmpty() || !transition.actions().isEmpty();
    }

    /** The states that are active after it and were not before, as far as that is certain. */
    private Set<Integer> entered(int source, TransitionNode transition) {
        Set<Integer> before = chart.around(source).collect(Collectors.toSet());
        Set<Integer> entered = new LinkedHashSet<>();
        for (String target : transition.targets()) {
            int number = chart.stateNumber(target);
            chart.around(number).filter(s -> !before.contains(s) || s == number).forEach(entered::add);
            initials(number).forEach(entered::add);
        }
        return entered;
    }

    private Stream<Integer> initials(int state) {
        StateNode node = chart.state(state);
        Stream<StateNode> children = node.kind() == StateNode.Kind.PARALLEL
                ? node.children().stream()
                : node.children().stream()
                        .filter(child -> node.initial() == null || child.name().equals(node.initial()))
                        .limit(1);
        return children.map(child -> chart.stateNumber(child.name()))
                .flatMap(child -> Stream.concat(Stream.of(child), initials(child)));
    }

    private Stream<Hold> presses(int state, int contact) {
        int press = gestures.number(contact, GestureKind.PRESS);
        return chart.state(state).transitions().stream()
                .filter(transition -> transition.events().contains(chart.eventName(press)))
                .map(transition -> new Hold(transition, press, 0));
    }

    private Stream<Hold> holds(int state, int contact) {
        return chart.state(state).transitions().stream()
                .flatMap(transition -> transition.events().stream()
                        .map(chart::event)
                        .filter(event -> event >= 0
                                && event < gestures.count()
                                && gestures.source(event) == contact
                                && gestures.kind(event) == GestureKind.HOLD)
                        .map(event -> new Hold(transition, event, gestures.holdNanos(event))));
    }

    private boolean listens(int state, int gesture) {
        return chart.state(state).transitions().stream()
                .anyMatch(transition -> transition.events().contains(chart.eventName(gesture)));
    }

    private String shortName(int gesture) {
        return words.shortName(chart.eventName(gesture));
    }
}
