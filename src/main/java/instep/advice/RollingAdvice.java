package instep.advice;

import instep.gesture.GestureKind;
import instep.machine.Chart;
import instep.machine.Cond;
import instep.machine.Place;
import instep.machine.StateNode;
import instep.machine.TransitionNode;
import instep.machine.Vocabulary;
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
                advice.leavesForADetour(state, transition);
                advice.nothingToReturnTo(state, transition);
                advice.staysAfterAShortPress(transition);
                advice.endsWithTheHold(state, transition);
                advice.neverDone(transition);
            }
        }
        return List.copyOf(advice.sentences);
    }

    /** An inner line takes the event from an outer one that ends the take. One that does nothing is there for just that. */
    private void hidesTheEnd(int state, TransitionNode inner) {
        if (!inner.acts() || !inner.cond().equals(Cond.ALWAYS) || endsTake(state, inner)) {
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

    private void leavesForADetour(int state, TransitionNode transition) {
        if (transition.isDetour() && endsTake(state, transition)) {
            sentences.add(transition.place() + ": this detour leaves \"" + rollingAround(state)
                    + "\", so that the take ends here and another one begins on return. If the take is to go on, use an angle"
                    + " in place of the target, or put the target inside");
        }
    }

    private String rollingAround(int state) {
        return chart.around(state)
                .map(chart::state)
                .filter(StateNode::rolling)
                .findFirst()
                .map(StateNode::name)
                .orElse("");
    }

    /** Neither the states that may be active nor a cut that stays put anything on air before. */
    private void nothingToReturnTo(int state, TransitionNode transition) {
        if (!transition.isDetour() || transition.angle() == null) {
            return;
        }
        boolean isSomething = IntStream.range(0, chart.stateCount())
                .filter(other -> chart.state(other).kind() == StateNode.Kind.PARALLEL
                        || chart.around(other).anyMatch(s -> s == state)
                        || chart.around(state).anyMatch(s -> s == other))
                .anyMatch(other -> chart.state(other).kind() == StateNode.Kind.PARALLEL
                        || chart.state(other).angle() != null
                        || chart.state(other).transitions().stream().anyMatch(t -> t.angle() != null && !t.isDetour()));
        if (!isSomething) {
            sentences.add(transition.place() + ": there is nothing to come back to: \"" + transition.angle()
                    + "\" stays on air, since \"" + chart.state(state).name() + "\" has no angle");
        }
    }

    /** A press that is let go soon makes no hold, and so no end of one. */
    private void staysAfterAShortPress(TransitionNode transition) {
        if (!transition.isDetour() || transition.untilNanos() >= 0) {
            return;
        }
        for (String event : transition.events()) {
            int press = chart.event(event);
            if (isKind(press, GestureKind.PRESS)
                    && transition.untilEvents().stream()
                            .map(chart::event)
                            .allMatch(end -> isKind(end, GestureKind.HOLD_END)
                                    && chart.gestures().source(end)
                                            == chart.gestures().source(press))) {
                sentences.add(
                        transition.place() + ": a short press begins this, too, and does not end it, since there is no "
                                + words.shortName(transition.untilEvents().get(0)) + " without a hold. "
                                + words.shortName(event).replaceFirst("[^.]*$", "release") + " ends both");
            }
        }
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
            if (event.startsWith(Vocabulary.DONE)) {
                StateNode node = chart.state(chart.stateNumber(event.substring(Vocabulary.DONE.length())));
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
