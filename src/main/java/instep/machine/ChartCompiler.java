package instep.machine;

import static instep.machine.Chart.NONE;

import instep.gesture.Gestures;
import instep.machine.InvalidChartException.Fault;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Set;
import org.jspecify.annotations.Nullable;

/** From the tree as written to numbers; collects every fault on the way. */
final class ChartCompiler {
    final List<StateNode> states = new ArrayList<>();
    final List<Integer> parent = new ArrayList<>();
    final List<TransitionNode> transitions = new ArrayList<>();
    final List<Integer> source = new ArrayList<>();
    final List<String> events = new ArrayList<>();
    final List<String> angles;
    final List<String> messages;
    final Gestures gestures;

    private final Map<String, Integer> numbers = new HashMap<>();
    private final List<Fault> faults = new ArrayList<>();

    ChartCompiler(StateNode root, Vocabulary vocabulary, List<String> angles, List<String> messages)
            throws InvalidChartException {
        this.angles = List.copyOf(angles);
        this.messages = List.copyOf(messages);
        number(root, NONE);
        checkStates();
        checkTransitions(vocabulary);
        if (!faults.isEmpty()) {
            throw new InvalidChartException(faults);
        }
        gestures = vocabulary.gestures(descriptors());
        events.addAll(gestures.names());
        Set<String> others = new LinkedHashSet<>(vocabulary.plainEvents());
        raised().forEach(others::add);
        states.forEach(state -> others.add("done.state." + state.name()));
        events.addAll(others);
    }

    private void number(StateNode node, int above) {
        int number = states.size();
        states.add(node);
        parent.add(above);
        Integer before = numbers.putIfAbsent(node.name(), number);
        if (before != null) {
            fault(
                    node.place(),
                    "the state name '" + node.name() + "' is taken: see "
                            + states.get(before).place());
        }
        for (TransitionNode transition : node.transitions()) {
            transitions.add(transition);
            source.add(number);
        }
        node.children().forEach(child -> number(child, number));
    }

    private void checkStates() {
        for (int s = 0; s < states.size(); s++) {
            StateNode node = states.get(s);
            checkKind(node, s);
            String initial = node.initial();
            if (initial != null) {
                Integer target = numbers.get(initial);
                if (target == null || !isInside(target, s)) {
                    fault(
                            node.place(),
                            "'" + node.name() + "' begins in '" + initial + "', which is no state inside it");
                }
            }
            if (node.angle() != null && !angles.contains(node.angle())) {
                fault(node.place(), "there is no angle '" + node.angle() + "'");
            }
        }
    }

    private void checkKind(StateNode node, int state) {
        boolean hasRealChild = node.children().stream().anyMatch(child -> !isHistoryKind(child.kind()));
        switch (node.kind()) {
            case FINAL -> {
                if (!node.children().isEmpty() || !node.transitions().isEmpty()) {
                    fault(
                            node.place(),
                            "the final state '" + node.name() + "' can hold neither states nor transitions");
                }
            }
            case SHALLOW_HISTORY, DEEP_HISTORY -> checkHistory(node, state);
            case PARALLEL -> {
                if (!hasRealChild) {
                    fault(node.place(), "the parallel state '" + node.name() + "' has no states inside");
                }
            }
            case STATE -> {
                if (!node.children().isEmpty() && !hasRealChild) {
                    fault(node.place(), "'" + node.name() + "' holds a history but no state to remember");
                }
            }
        }
    }

    /** A history has one way out, for when there is nothing to remember: without event or condition, to a sibling or deeper. */
    private void checkHistory(StateNode node, int state) {
        List<TransitionNode> out = node.transitions();
        boolean sound = out.size() == 1
                && out.get(0).events().isEmpty()
                && !out.get(0).targets().isEmpty()
                && out.get(0).targets().stream()
                        .allMatch(t -> numbers.containsKey(t) && isInside(numbers.get(t), parent.get(state)));
        if (!sound) {
            fault(
                    node.place(),
                    "the history '" + node.name()
                            + "' needs one target beside it, to enter when there is nothing to remember yet");
        }
    }

    private void checkTransitions(Vocabulary vocabulary) {
        for (int t = 0; t < transitions.size(); t++) {
            TransitionNode node = transitions.get(t);
            for (String target : node.targets()) {
                if (!numbers.containsKey(target)) {
                    fault(node.place(), "there is no state '" + target + "'");
                }
            }
            checkTargetsTogether(node);
            checkEvents(node, vocabulary);
            if (node.angle() != null && !angles.contains(node.angle())) {
                fault(node.place(), "there is no angle '" + node.angle() + "'");
            }
            if (node.isDetour() && node.angle() == null && node.targets().isEmpty()) {
                fault(node.place(), "a detour needs an angle or a target to go to");
            }
        }
        actions().forEach(this::checkAction);
    }

    private void checkAction(Action action) {
        if (action instanceof Action.Send send && !messages.contains(send.message())) {
            fault(states.get(0).place(), "there is no message '" + send.message() + "'");
        }
    }

    /** Several targets must be able to be active at once: each pair in different regions of a parallel state. */
    private void checkTargetsTogether(TransitionNode node) {
        List<Integer> known = node.targets().stream()
                .filter(numbers::containsKey)
                .map(numbers::get)
                .toList();
        for (int i = 0; i < known.size(); i++) {
            for (int j = i + 1; j < known.size(); j++) {
                int common = commonAncestor(known.get(i), known.get(j));
                if (states.get(common).kind() != StateNode.Kind.PARALLEL
                        || common == known.get(i)
                        || common == known.get(j)) {
                    fault(
                            node.place(),
                            "'" + states.get(known.get(i)).name() + "' and '"
                                    + states.get(known.get(j)).name() + "' cannot be active together");
                }
            }
        }
    }

    private int commonAncestor(int a, int b) {
        int above = a;
        while (above != b && !isInside(b, above)) {
            above = parent.get(above);
        }
        return above;
    }

    private void checkEvents(TransitionNode node, Vocabulary vocabulary) {
        Set<String> raised = Set.copyOf(raised());
        List<String> all = new ArrayList<>(node.events());
        all.addAll(node.untilEvents());
        for (String event : all) {
            if (vocabulary.canonical(event).isEmpty() && !raised.contains(event)) {
                fault(node.place(), "nothing raises an event '" + event + "'");
            }
        }
    }

    private List<String> descriptors() {
        List<String> all = new ArrayList<>();
        for (TransitionNode transition : transitions) {
            all.addAll(transition.events());
            all.addAll(transition.untilEvents());
        }
        return all;
    }

    private List<Action> actions() {
        List<Action> all = new ArrayList<>();
        states.forEach(state -> {
            all.addAll(state.onEntry());
            all.addAll(state.onExit());
        });
        transitions.forEach(transition -> all.addAll(transition.actions()));
        return all;
    }

    private List<String> raised() {
        return actions().stream()
                .filter(Action.Raise.class::isInstance)
                .map(action -> ((Action.Raise) action).event())
                .distinct()
                .toList();
    }

    /** Eventless transitions, raised events and final states can each lead to a further step without an event from outside. */
    boolean canRunOn() {
        return !raised().isEmpty()
                || states.stream().anyMatch(s -> s.kind() == StateNode.Kind.FINAL)
                || transitions.stream().anyMatch(t -> t.events().isEmpty() && t.afterNanos() < 0);
    }

    private boolean isInside(int state, int ancestor) {
        for (int above = parent.get(state); above >= 0; above = parent.get(above)) {
            if (above == ancestor) {
                return true;
            }
        }
        return false;
    }

    private static boolean isHistoryKind(StateNode.Kind kind) {
        return kind == StateNode.Kind.SHALLOW_HISTORY || kind == StateNode.Kind.DEEP_HISTORY;
    }

    private void fault(Place place, String text) {
        faults.add(new Fault(place, text));
    }

    int[] end() {
        int[] end = new int[states.size()];
        for (int s = end.length - 1; s >= 0; s--) {
            end[s] = Math.max(end[s], s + 1);
            if (parent.get(s) >= 0) {
                end[parent.get(s)] = Math.max(end[parent.get(s)], end[s]);
            }
        }
        return end;
    }

    /** Children in document order, histories left out (SCXML appendix D, {@code getChildStates}). */
    int[][] children() {
        return childrenWhere(false);
    }

    private int[][] childrenWhere(boolean history) {
        int[][] children = new int[states.size()][];
        for (int s = 0; s < children.length; s++) {
            int above = s;
            children[s] = java.util.stream.IntStream.range(0, states.size())
                    .filter(c -> parent.get(c) == above
                            && isHistoryKind(states.get(c).kind()) == history)
                    .toArray();
        }
        return children;
    }

    /** Where to begin: as said, else the first child; for a history, what to enter when there is nothing to remember. */
    int[][] initial() {
        int[][] children = children();
        int[][] initial = new int[states.size()][];
        for (int s = 0; s < initial.length; s++) {
            StateNode node = states.get(s);
            if (isHistoryKind(node.kind())) {
                initial[s] = numbersOf(node.transitions().get(0).targets());
            } else if (node.initial() != null) {
                initial[s] = new int[] {numberOf(node.initial())};
            } else {
                initial[s] = children[s].length == 0 ? new int[0] : new int[] {children[s][0]};
            }
        }
        return initial;
    }

    private int numberOf(String state) {
        return numbers.getOrDefault(state, NONE);
    }

    private int[] numbersOf(List<String> names) {
        return names.stream().mapToInt(this::numberOf).toArray();
    }

    private int angleNumber(@Nullable String angle) {
        return angle == null ? NONE : angles.indexOf(angle);
    }

    int[] stateAngles() {
        return states.stream().mapToInt(s -> angleNumber(s.angle())).toArray();
    }

    int[] transitionAngles() {
        return transitions.stream().mapToInt(t -> angleNumber(t.angle())).toArray();
    }

    int[][] targets() {
        return transitions.stream().map(t -> numbersOf(t.targets())).toArray(int[][]::new);
    }

    int[][] transitionsOf() {
        int[][] of = new int[states.size()][];
        for (int s = 0; s < of.length; s++) {
            int state = s;
            of[s] = java.util.stream.IntStream.range(0, transitions.size())
                    .filter(t -> source.get(t) == state)
                    .toArray();
        }
        return of;
    }
}
