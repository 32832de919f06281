package instep.machine;

import instep.gesture.Gestures;
import instep.machine.InvalidChartException.Fault;
import java.util.Arrays;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.stream.IntStream;
import java.util.stream.Stream;
import org.jspecify.annotations.Nullable;

/**
 * A machine's states and transitions, compiled: it exists only if it holds together. States, transitions and events are numbered; states in
 * document order, the root first, so that a state's descendants follow it in one run. Events that are gestures have the gestures' numbers.
 */
public final class Chart {
    /** No such number. */
    static final int NONE = -1;

    /** States times events, at most: for each of these places a chart holds a reference. */
    public static final int PLACES = 1_000_000;

    final StateNode[] states;
    final int[] parent;
    /** The state after the last descendant. */
    final int[] end;

    final int[][] children;
    final int[][] initial;
    final int[] angle;
    final int[][] transitionsOf;

    final TransitionNode[] transitions;
    final int[] source;
    final int[][] targets;
    final int[] transitionAngle;
    /** The states that are histories, and by state its place among them. */
    final int[] histories;

    final int[] historyIndex;
    /** The detours that go to another state, and by transition its place among them. */
    final int[] detoursAway;

    final int[] returnIndex;
    /** The transitions that are taken later than they are selected. */
    final int[] delayed;
    /** Of those, the detours that an event begins. */
    final int[] delayedDetours;

    private final Gestures gestures;
    private final List<String> events;
    private final Map<String, Integer> eventNumbers = new HashMap<>();
    private final List<String> angles;
    private final Map<String, Integer> messageNumbers = new HashMap<>();
    private final List<Variable> variables;
    private final Map<String, Integer> variableNumbers = new HashMap<>();
    /** By state: the transitions without event, to try whenever nothing else is due. */
    final int[][] eventless;
    /** Whether one step can lead to another by itself. */
    final boolean canRunOn;

    final EventMatches matches;
    private final Map<String, Integer> stateNumbers = new HashMap<>();

    /** By state: the number of its event {@code done.state.NAME}. */
    final int[] doneEvent;

    Chart(ChartCompiler compiler) {
        states = compiler.states.toArray(StateNode[]::new);
        transitions = compiler.transitions.toArray(TransitionNode[]::new);
        gestures = compiler.gestures();
        events = compiler.events(gestures);
        angles = compiler.angles;
        variables = compiler.variables;
        for (int variable = 0; variable < variables.size(); variable++) {
            variableNumbers.put(variables.get(variable).name(), variable);
        }
        for (int message = 0; message < compiler.messages.size(); message++) {
            messageNumbers.putIfAbsent(compiler.messages.get(message), message);
        }
        for (int event = 0; event < events.size(); event++) {
            eventNumbers.putIfAbsent(events.get(event), event);
        }
        parent = compiler.parent.stream().mapToInt(Integer::intValue).toArray();
        end = compiler.end();
        children = compiler.children();
        initial = compiler.initial();
        angle = compiler.stateAngles();
        transitionsOf = compiler.transitionsOf();
        source = compiler.source.stream().mapToInt(Integer::intValue).toArray();
        targets = compiler.targets();
        transitionAngle = compiler.transitionAngles();
        matches = new EventMatches(events, gestures.count(), transitions, transitionsOf);
        doneEvent = new int[states.length];
        for (int s = 0; s < states.length; s++) {
            stateNumbers.put(states[s].name(), s);
            doneEvent[s] = event(Vocabulary.DONE + states[s].name());
        }
        eventless = new int[states.length][];
        for (int s = 0; s < states.length; s++) {
            eventless[s] = Arrays.stream(transitionsOf[s])
                    .filter(t -> transitions[t].events().isEmpty() && transitions[t].afterNanos() < 0)
                    .toArray();
        }
        canRunOn = compiler.canRunOn();
        histories = IntStream.range(0, states.length).filter(this::isHistory).toArray();
        historyIndex = places(histories, states.length);
        detoursAway = IntStream.range(0, transitions.length)
                .filter(t -> transitions[t].isDetour() && targets[t].length > 0)
                .toArray();
        returnIndex = places(detoursAway, transitions.length);
        delayed = IntStream.range(0, transitions.length)
                .filter(t -> transitions[t].afterNanos() >= 0)
                .toArray();
        delayedDetours = Arrays.stream(delayed)
                .filter(t ->
                        transitions[t].isDetour() && !transitions[t].events().isEmpty())
                .toArray();
    }

    /**
     * Compiles a chart without variables, or throws with all that is wrong with it.
     *
     * @param root the whole machine: a state with the top states as children
     * @param angles names of the angles, in the order of their numbers
     * @param messages names of the messages, in the order of their numbers
     */
    public static Chart of(StateNode root, Vocabulary vocabulary, List<String> angles, List<String> messages)
            throws InvalidChartException {
        return of(root, vocabulary, angles, messages, List.of());
    }

    /**
     * Compiles a chart, or throws with all that is wrong with it.
     *
     * @param root the whole machine: a state with the top states as children
     * @param angles names of the angles, in the order of their numbers
     * @param messages names of the messages, in the order of their numbers
     * @param variables the values that the mapping keeps
     */
    public static Chart of(
            StateNode root, Vocabulary vocabulary, List<String> angles, List<String> messages, List<Variable> variables)
            throws InvalidChartException {
        ChartCompiler compiler = new ChartCompiler(root, vocabulary, angles, messages, variables);
        List<Fault> faults = compiler.faults();
        if (faults.isEmpty()) {
            faults = compiler.excess();
        }
        if (faults.isEmpty()) {
            faults = compiler.circles();
        }
        if (!faults.isEmpty()) {
            throw new InvalidChartException(faults);
        }
        return new Chart(compiler);
    }

    /** What is wrong with a chart that is not to be compiled, since something else is wrong with it: all but circles. */
    public static List<Fault> faults(
            StateNode root,
            Vocabulary vocabulary,
            List<String> angles,
            List<String> messages,
            List<Variable> variables) {
        return new ChartCompiler(root, vocabulary, angles, messages, variables).faults();
    }

    private static int[] places(int[] some, int count) {
        int[] places = new int[count];
        Arrays.fill(places, NONE);
        IntStream.range(0, some.length).forEach(place -> places[some[place]] = place);
        return places;
    }

    boolean isDescendant(int state, int ancestor) {
        return state > ancestor && state < end[ancestor];
    }

    boolean isHistory(int state) {
        StateNode.Kind kind = states[state].kind();
        return kind == StateNode.Kind.SHALLOW_HISTORY || kind == StateNode.Kind.DEEP_HISTORY;
    }

    boolean isParallel(int state) {
        return states[state].kind() == StateNode.Kind.PARALLEL;
    }

    boolean isAtomic(int state) {
        return children[state].length == 0 && !isHistory(state);
    }

    boolean isCompound(int state) {
        return children[state].length > 0 && !isParallel(state);
    }

    /** The state that a transition goes to, the first if there are several; a history stands for the state around it. */
    int firstTarget(int transition) {
        int target = targets[transition][0];
        return isHistory(target) ? parent[target] : target;
    }

    /** The gestures that can be recognised; their numbers are those of their events. */
    public Gestures gestures() {
        return gestures;
    }

    /** The number of an event; -1 if nothing can raise it. */
    public int event(String name) {
        return eventNumbers.getOrDefault(name, NONE);
    }

    int eventCount() {
        return events.size();
    }

    /** The full name of an event. */
    public String eventName(int event) {
        return events.get(event);
    }

    /** Whether something in the chart listens to that event. */
    public boolean isHeard(int event) {
        return matches.heard.get(event);
    }

    /** The number of a state; -1 if there is none of that name. */
    public int stateNumber(String name) {
        return stateNumbers.getOrDefault(name, NONE);
    }

    /** How many states there are, the root among them. */
    public int stateCount() {
        return states.length;
    }

    /** A state as it was written. */
    public StateNode state(int state) {
        return states[state];
    }

    /** The state around a state; -1 for the root. */
    public int parentOf(int state) {
        return parent[state];
    }

    /** The state itself and those around it, the innermost first. */
    public Stream<Integer> around(int state) {
        return IntStream.iterate(state, s -> s >= 0, this::parentOf).boxed();
    }

    /** How many transitions there are. */
    public int transitionCount() {
        return transitions.length;
    }

    /** A transition as it was written. */
    public TransitionNode transition(int transition) {
        return transitions[transition];
    }

    /** The state that declares a transition. */
    public int sourceOf(int transition) {
        return source[transition];
    }

    /** The name of an angle; null for none, -1. */
    public @Nullable String angleName(int number) {
        return number < 0 ? null : angles.get(number);
    }

    /** The number of an angle; -1 if there is none of that name. */
    public int angleNumber(String name) {
        return angles.indexOf(name);
    }

    /** The number of a message. */
    int message(String name) {
        return messageNumbers.getOrDefault(name, NONE);
    }

    /** The number of a variable; -1 if there is none of that name. */
    public int variableNumber(String name) {
        return variableNumbers.getOrDefault(name, NONE);
    }

    /** The values that the mapping keeps, in the order of their numbers. */
    public List<Variable> variables() {
        return variables;
    }

    /** A variable by its number. */
    public Variable variable(int number) {
        return variables.get(number);
    }

    /** What the variables begin with, by number. */
    Object[] initialData() {
        return variables.stream().map(Variable::initial).toArray();
    }
}
