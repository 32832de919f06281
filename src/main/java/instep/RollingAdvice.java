package instep;

import instep.gesture.GestureKind;
import instep.machine.Chart;
import instep.machine.Cond;
import instep.machine.Place;
import instep.machine.StateNode;
import instep.machine.TransitionNode;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.stream.IntStream;

/** Takes that end sooner than meant or cannot be ended, and states that are never done: a sentence for each. */
final class RollingAdvice {
    private final Chart chart;
    private final EventWords words;
    private final List<String> sentences = new ArrayList<>();

    private RollingAdvice(Chart chart) {
        this.chart = chart;
        words = new EventWords(chart.gestures().contacts());
    }

    static List<String> of(Chart chart) {
        RollingAdvice advice = new RollingAdvice(chart);
        for (int state = 0; state < chart.stateCount(); state++) {
            for (TransitionNode transition : chart.state(state).transitions()) {
                advice.hidesTheEnd(state, transition);
                advice.endsWithTheHold(state, transition);
                advice.neverDone(transition);
            }
        }
        return List.copyOf(advice.sentences);
    }

    /** An inner line takes the event from an outer one that ends the take. One that does nothing is there for just that. */
    private void hidesTheEnd(int state, TransitionNode inner) {
        boolean acts = inner.angle() != null
                || !inner.targets().isEmpty()
                || !inner.actions().isEmpty();
        if (!acts || !inner.cond().equals(Cond.ALWAYS) || endsTake(state, inner)) {
            return;
        }
        for (String event : inner.events()) {
            chart.around(state)
                    .skip(1)
                    .flatMap(outer -> chart.state(outer).transitions().stream()
                            .filter(t -> endsTake(outer, t) && t.events().contains(event)))
                    .findFirst()
                    .ifPresent(outer -> sentences.add(inner.place() + ": in \""
                            + chart.state(state).name() + "\" this keeps " + words.shortName(event)
                            + " from ending the take, as line " + outer.place().line() + " has it. Is that meant?"));
        }
    }

    private boolean endsTake(int state, TransitionNode transition) {
        Optional<Integer> rolling =
                chart.around(state).filter(s -> chart.state(s).rolling()).findFirst();
        return rolling.isPresent()
                && !transition.targets().isEmpty()
                && transition.targets().stream()
                        .noneMatch(target ->
                                chart.around(chart.stateNumber(target)).anyMatch(rolling.get()::equals));
    }

    /** The foot is still down on the hold that began the take. */
    private void endsWithTheHold(int state, TransitionNode end) {
        StateNode node = chart.state(state);
        if (!node.rolling() || !endsTake(state, end)) {
            return;
        }
        for (String event : end.events()) {
            int number = chart.event(event);
            if (isKind(number, GestureKind.HOLD_END)) {
                leadingTo(node.name(), chart.gestures().source(number))
                        .ifPresent(hold -> sentences.add(end.place() + ": line " + hold.line()
                                + " begins the take with a hold of the same foot, so that this ends it as soon as that foot is lifted."
                                + " Is that meant?"));
            }
        }
    }

    private Optional<Place> leadingTo(String state, int source) {
        return IntStream.range(0, chart.stateCount())
                .mapToObj(chart::state)
                .flatMap(from -> from.transitions().stream())
                .filter(t -> t.targets().contains(state))
                .filter(t -> t.events().stream()
                        .map(chart::event)
                        .anyMatch(event -> isKind(event, GestureKind.HOLD)
                                && chart.gestures().source(event) == source))
                .map(TransitionNode::place)
                .findFirst();
    }

    private boolean isKind(int event, GestureKind kind) {
        return event >= 0
                && event < chart.gestures().count()
                && chart.gestures().kind(event) == kind;
    }

    /** SCXML 1.0, section 3.7: a state is done when a final state in it is entered, a parallel one when its regions are. */
    private void neverDone(TransitionNode transition) {
        for (String event : transition.events()) {
            if (event.startsWith("done.state.")) {
                StateNode node = chart.state(chart.stateNumber(event.substring("done.state.".length())));
                if (!canBeDone(node)) {
                    sentences.add(transition.place() + ": " + event + " never comes, since \"" + node.name()
                            + "\" has no final state to end in");
                }
            }
        }
    }

    private static boolean canBeDone(StateNode node) {
        return node.kind() == StateNode.Kind.PARALLEL
                ? node.children().stream().allMatch(RollingAdvice::canBeDone)
                : node.children().stream().anyMatch(child -> child.kind() == StateNode.Kind.FINAL);
    }
}
