package instep.machine;

import static instep.machine.Chart.NONE;

import instep.gesture.Gestures;
import instep.machine.InvalidChartException.Concern;
import instep.machine.InvalidChartException.Fault;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.stream.IntStream;
import java.util.stream.Stream;
import org.jspecify.annotations.Nullable;

/** From the tree as written to numbers. */
final class ChartCompiler {
    final List<StateNode> states = new ArrayList<>();
    final List<Integer> parent = new ArrayList<>();
    final List<TransitionNode> transitions = new ArrayList<>();
    final List<Integer> source = new ArrayList<>();
    final List<String> angles;
    final List<String> messages;
    final List<Variable> variables;

    private final Vocabulary vocabulary;
    private final Map<String, Integer> numbers = new HashMap<>();

    ChartCompiler(
            StateNode root,
            Vocabulary vocabulary,
            List<String> angles,
            List<String> messages,
            List<Variable> variables) {
        this.vocabulary = vocabulary;
        this.angles = List.copyOf(angles);
        this.messages = List.copyOf(messages);
        this.variables = List.copyOf(variables);
        number(root, NONE);
    }

    /** What is wrong with states, targets, names and values. */
    List<Fault> faults() {
        List<Fault> faults = new ArrayList<>(new StructureChecks(this, vocabulary).faults());
        faults.addAll(new ContentChecks(this, vocabulary).faults());
        return inDocumentOrder(faults);
    }

    /** A chart whose tables take more memory than a small computer has for them, beside those of the chart in force. */
    List<Fault> excess() {
        int events = events(gestures()).size();
        return (long) events * states.size() <= Chart.PLACES
                ? List.of()
                : List.of(new Fault(
                        states.get(0).place(),
                        Concern.STATES,
                        String.format(
                                "%,d states with %,d events are too much; expected so few that one times the other is at most %,d",
                                states.size(), events, Chart.PLACES)));
    }

    /** Looked for by the numbers, which only a chart without other faults has. */
    List<Fault> circles() {
        return inDocumentOrder(new EventlessCircles(this).faults());
    }

    Gestures gestures() {
        return vocabulary.gestures(descriptors());
    }

    /** The names of all events by number, the gestures first. */
    List<String> events(Gestures gestures) {
        Set<String> names = new LinkedHashSet<>(gestures.names());
        names.addAll(vocabulary.plainEvents());
        names.addAll(raised());
        states.forEach(state -> names.add(Vocabulary.DONE + state.name()));
        return List.copyOf(names);
    }

    private static List<Fault> inDocumentOrder(List<Fault> faults) {
        return faults.stream()
                .distinct()
                .sorted((a, b) -> {
                    int byLine = Integer.compare(a.place().line(), b.place().line());
                    boolean sameFile = a.place().file().equals(b.place().file());
                    return !sameFile
                            ? 0
                            : byLine != 0
                                    ? byLine
                                    : Integer.compare(
                                            a.place().column(), b.place().column());
                })
                .toList();
    }

    private void number(StateNode node, int above) {
        int number = states.size();
        states.add(node);
        parent.add(above);
        numbers.putIfAbsent(node.name(), number);
        for (TransitionNode transition : node.transitions()) {
            transitions.add(transition);
            source.add(number);
        }
        node.children().forEach(child -> number(child, number));
    }

    private List<String> descriptors() {
        return transitions.stream()
                .flatMap(transition -> Stream.concat(transition.events().stream(), transition.untilEvents().stream()))
                .toList();
    }

    /** The events that the chart raises itself. */
    List<String> raised() {
        Stream<Action> inStates =
                states.stream().flatMap(state -> Stream.concat(state.onEntry().stream(), state.onExit().stream()));
        Stream<Action> inTransitions = transitions.stream().flatMap(transition -> transition.actions().stream());
        return Stream.concat(inStates, inTransitions)
                .filter(Action.Raise.class::isInstance)
                .map(action -> ((Action.Raise) action).event())
                .distinct()
                .toList();
    }

    /** Eventless transitions, raised events and final states can each lead to a further step without an event from outside. */
    boolean canRunOn() {
        return !raised().isEmpty()
                || states.stream().anyMatch(s -> s.kind() == StateNode.Kind.FINAL)
                || IntStream.range(0, transitions.size()).anyMatch(this::isEventless);
    }

    boolean isEventless(int transition) {
        TransitionNode node = transitions.get(transition);
        return node.events().isEmpty() && node.afterNanos() < 0 && !isHistory(source.get(transition));
    }

    /** The number of a state; -1 if there is none of that name. */
    int numberOf(String state) {
        return numbers.getOrDefault(state, NONE);
    }

    boolean isInside(int state, int ancestor) {
        for (int above = parent.get(state); above >= 0; above = parent.get(above)) {
            if (above == ancestor) {
                return true;
            }
        }
        return false;
    }

    boolean isHistory(int state) {
        StateNode.Kind kind = states.get(state).kind();
        return kind == StateNode.Kind.SHALLOW_HISTORY || kind == StateNode.Kind.DEEP_HISTORY;
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
        List<List<Integer>> children = new ArrayList<>();
        states.forEach(state -> children.add(new ArrayList<>()));
        for (int s = 1; s < states.size(); s++) {
            if (!isHistory(s)) {
                children.get(parent.get(s)).add(s);
            }
        }
        return children.stream()
                .map(of -> of.stream().mapToInt(Integer::intValue).toArray())
                .toArray(int[][]::new);
    }

    /** Where to begin: as said, else the first child; for a history, what to enter when there is nothing to remember. */
    int[][] initial() {
        int[][] children = children();
        int[][] initial = new int[states.size()][];
        for (int s = 0; s < initial.length; s++) {
            StateNode node = states.get(s);
            if (isHistory(s)) {
                initial[s] = numbersOf(node.transitions().get(0).targets());
            } else if (node.initial() != null) {
                initial[s] = new int[] {numberOf(node.initial())};
            } else {
                initial[s] = children[s].length == 0 ? new int[0] : new int[] {children[s][0]};
            }
        }
        return initial;
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
        for (int s = 0, first = 0; s < of.length; s++) {
            int from = first;
            int count = states.get(s).transitions().size();
            // They were numbered state by state.
            of[s] = IntStream.range(from, from + count).toArray();
            first += count;
        }
        return of;
    }
}
