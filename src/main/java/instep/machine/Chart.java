package instep.machine;

import instep.gesture.Gestures;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.BitSet;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import org.jspecify.annotations.Nullable;

/**
 * A machine's states and transitions, compiled: it exists only if it holds together. States, transitions and events are numbered; states in
 * document order, the root first, so that a state's descendants follow it in one run. Events that are gestures have the gestures' numbers.
 */
public final class Chart {
    /** No such number. */
    static final int NONE = -1;

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
    final BitSet[] until;

    private final Gestures gestures;
    private final List<String> events;
    private final Map<String, Integer> eventNumbers = new HashMap<>();
    private final List<String> angles;
    private final List<String> messages;
    /** By state and event: the transitions to try, in document order. */
    final int[][][] candidates;
    /** By state: the gestures which a transition of it names. */
    final BitSet[] boundGestures;
    /** By transition: the gestures that its {@code until} names. */
    final BitSet[] untilGestures;
    /** By state: the transitions without event, to try whenever nothing else is due. */
    final int[][] eventless;
    /** Whether one step can lead to another by itself. */
    final boolean canRunOn;

    private final BitSet heard = new BitSet();
    private final Map<String, Integer> stateNumbers = new HashMap<>();

    /** By state: the number of its event {@code done.state.NAME}. */
    final int[] doneEvent;

    Chart(ChartCompiler compiler) {
        states = compiler.states.toArray(StateNode[]::new);
        transitions = compiler.transitions.toArray(TransitionNode[]::new);
        gestures = compiler.gestures;
        events = List.copyOf(compiler.events);
        angles = compiler.angles;
        messages = compiler.messages;
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
        until = new BitSet[transitions.length];
        untilGestures = new BitSet[transitions.length];
        candidates = new int[states.length][events.size()][];
        boundGestures = new BitSet[states.length];
        doneEvent = new int[states.length];
        for (int s = 0; s < states.length; s++) {
            stateNumbers.put(states[s].name(), s);
        }
        eventless = new int[states.length][];
        for (int s = 0; s < states.length; s++) {
            eventless[s] = Arrays.stream(transitionsOf[s])
                    .filter(t -> transitions[t].events().isEmpty() && transitions[t].afterNanos() < 0)
                    .toArray();
        }
        canRunOn = compiler.canRunOn();
        matchEvents();
    }

    /**
     * Compiles a chart, or throws with all that is wrong with it.
     *
     * @param root the whole machine: a state with the top states as children
     * @param angles names of the angles, in the order of their numbers
     * @param messages names of the messages, in the order of their numbers
     */
    public static Chart of(StateNode root, Vocabulary vocabulary, List<String> angles, List<String> messages)
            throws InvalidChartException {
        return new Chart(new ChartCompiler(root, vocabulary, angles, messages));
    }

    private void matchEvents() {
        for (int t = 0; t < transitions.length; t++) {
            until[t] = matching(transitions[t].untilEvents());
            heard.or(until[t]);
            heard.or(matching(transitions[t].events()));
            untilGestures[t] = named(transitions[t].untilEvents());
        }
        for (int s = 0; s < states.length; s++) {
            doneEvent[s] = eventNumbers.getOrDefault("done.state." + states[s].name(), NONE);
            boundGestures[s] = new BitSet();
            Map<Integer, List<Integer>> byEvent = new HashMap<>();
            for (int t : transitionsOf[s]) {
                boundGestures[s].or(named(transitions[t].events()));
                matching(transitions[t].events()).stream()
                        .forEach(event -> byEvent.computeIfAbsent(event, e -> new ArrayList<>())
                                .add(t));
            }
            for (int event = 0; event < events.size(); event++) {
                candidates[s][event] = byEvent.getOrDefault(event, List.of()).stream()
                        .mapToInt(Integer::intValue)
                        .toArray();
            }
        }
    }

    /** Events that one of the descriptors matches (SCXML 3.12.1). */
    private BitSet matching(List<String> descriptors) {
        BitSet matched = new BitSet(events.size());
        for (String descriptor : descriptors) {
            for (int event = 0; event < events.size(); event++) {
                String name = events.get(event);
                if (descriptor.equals("*") || name.equals(descriptor) || name.startsWith(descriptor + ".")) {
                    matched.set(event);
                }
            }
        }
        return matched;
    }

    /** Gestures named in full: a prefix matches gestures, but it makes nothing wait for them. */
    private BitSet named(List<String> descriptors) {
        BitSet named = new BitSet();
        for (String descriptor : descriptors) {
            int event = eventNumbers.getOrDefault(descriptor, NONE);
            if (event >= 0 && event < gestures.count()) {
                named.set(event);
            }
        }
        return named;
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

    /** The gestures that can be recognised; their numbers are those of their events. */
    public Gestures gestures() {
        return gestures;
    }

    /** The number of an event; -1 if nothing can raise it. */
    public int event(String name) {
        return eventNumbers.getOrDefault(name, NONE);
    }

    /** The full name of an event. */
    public String eventName(int event) {
        return events.get(event);
    }

    /** Whether something in the chart listens to that event. */
    public boolean isHeard(int event) {
        return heard.get(event);
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

    /** The number of a message. */
    int message(String name) {
        return messages.indexOf(name);
    }
}
