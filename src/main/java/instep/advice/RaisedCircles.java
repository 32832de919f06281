package instep.advice;

import instep.machine.Action;
import instep.machine.Chart;
import instep.machine.Cond;
import instep.machine.StateNode;
import instep.machine.TransitionNode;
import java.util.ArrayList;
import java.util.HashSet;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import java.util.TreeSet;
import java.util.stream.Collectors;
import java.util.stream.Stream;

/** Events that raise each other without end, if one of them ever comes: a sentence for each such circle that no condition, time or region can break. */
final class RaisedCircles {
    private final Chart chart;
    private final boolean raisesOnTheWay;

    private RaisedCircles(Chart chart) {
        this.chart = chart;
        raisesOnTheWay = states().flatMap(state -> Stream.concat(state.onEntry().stream(), state.onExit().stream()))
                .anyMatch(Action.Raise.class::isInstance);
    }

    /** An event that is due while an innermost state is active. */
    private record Due(int state, String event) {}

    static List<String> of(Chart chart) {
        return new RaisedCircles(chart).sentences();
    }

    private List<String> sentences() {
        Set<String> raised = states().flatMap(state -> state.transitions().stream())
                .flatMap(transition -> raises(transition).stream())
                .collect(Collectors.toCollection(TreeSet::new));
        Set<TransitionNode> told = new HashSet<>();
        List<String> sentences = new ArrayList<>();
        for (int s = 0; s < chart.stateCount(); s++) {
            for (String event : raised) {
                List<TransitionNode> circle = circleFrom(new Due(s, event));
                if (!circle.isEmpty() && circle.stream().allMatch(told::add)) {
                    sentences.add(sentence(circle));
                }
            }
        }
        return sentences;
    }

    private Stream<StateNode> states() {
        return Stream.iterate(0, s -> s < chart.stateCount(), s -> s + 1).map(chart::state);
    }

    private static String sentence(List<TransitionNode> circle) {
        String events = circle.stream()
                .map(transition -> "\"" + raises(transition).get(0) + "\"")
                .collect(Collectors.joining(", which raises "));
        return circle.get(0).place() + ": this raises " + events
                + ", and so on without end. Give one of them a condition, or a time with after";
    }

    private List<TransitionNode> circleFrom(Due start) {
        List<Due> path = new ArrayList<>();
        List<TransitionNode> taken = new ArrayList<>();
        Optional<Due> due = Optional.of(start);
        while (due.isPresent() && !path.contains(due.get())) {
            Due now = due.get();
            Optional<TransitionNode> transition = certain(now);
            path.add(now);
            transition.ifPresent(taken::add);
            due = transition.flatMap(t -> next(now, t));
        }
        return due.map(d -> taken.subList(path.indexOf(d), taken.size())).orElse(List.of());
    }

    /** The transition that the event takes for certain, if just one other event is due then. */
    private Optional<TransitionNode> certain(Due due) {
        List<TransitionNode> heard = chart.around(due.state)
                .flatMap(s -> chart.state(s).transitions().stream())
                .toList();
        boolean isAlone = chart.state(due.state).children().isEmpty()
                && chart.around(due.state).allMatch(s -> chart.state(s).kind() == StateNode.Kind.STATE)
                && heard.stream().noneMatch(t -> t.events().isEmpty());
        return heard.stream()
                .filter(t -> t.events().stream().anyMatch(descriptor -> CheckAdvice.covers(descriptor, due.event)))
                .findFirst()
                .filter(t -> isAlone && t.cond().equals(Cond.ALWAYS) && t.afterNanos() < 0)
                .filter(t -> raises(t).size() == 1);
    }

    /** What is due after it, if that is certain. */
    private Optional<Due> next(Due due, TransitionNode transition) {
        String event = raises(transition).get(0);
        if (transition.targets().isEmpty()) {
            return Optional.of(new Due(due.state, event));
        }
        boolean isPlain = transition.targets().size() == 1 && !transition.isDetour() && !raisesOnTheWay;
        return isPlain
                ? Optional.of(new Due(chart.stateNumber(transition.targets().get(0)), event))
                : Optional.empty();
    }

    private static List<String> raises(TransitionNode transition) {
        return transition.actions().stream()
                .filter(Action.Raise.class::isInstance)
                .map(action -> ((Action.Raise) action).event())
                .toList();
    }
}
