package instep.machine;

import java.util.Arrays;
import java.util.BitSet;
import java.util.List;

/** Who listens to which event of a chart, and which gestures are waited for since they are named in full. */
final class EventMatches {
    private static final int[] NO_TRANSITIONS = {};

    /** By state and event: the transitions to try, in document order. */
    final int[][][] candidates;
    /** By transition: the events that its {@code until} names. */
    final BitSet[] until;
    /** By state: the gestures which a transition of it names. */
    final BitSet[] boundGestures;
    /** By transition: the gestures that its {@code until} names. */
    final BitSet[] untilGestures;
    /** The events that something listens to. */
    final BitSet heard = new BitSet();

    private final List<String> events;
    private final int gestures;

    /**
     * Of a chart's transitions.
     *
     * @param events the names of all events, those of the gestures first
     * @param gestures how many of them are gestures
     * @param transitionsOf by state: which transitions it declares
     */
    EventMatches(List<String> events, int gestures, TransitionNode[] transitions, int[][] transitionsOf) {
        this.events = events;
        this.gestures = gestures;
        candidates = new int[transitionsOf.length][events.size()][];
        boundGestures = new BitSet[transitionsOf.length];
        until = new BitSet[transitions.length];
        untilGestures = new BitSet[transitions.length];
        BitSet[] matched = new BitSet[transitions.length];
        for (int t = 0; t < transitions.length; t++) {
            matched[t] = matching(transitions[t].events());
            until[t] = matching(transitions[t].untilEvents());
            untilGestures[t] = named(transitions[t].untilEvents());
            heard.or(matched[t]);
            heard.or(until[t]);
        }
        for (int s = 0; s < transitionsOf.length; s++) {
            boundGestures[s] = new BitSet();
            Arrays.fill(candidates[s], NO_TRANSITIONS);
            for (int t : transitionsOf[s]) {
                boundGestures[s].or(named(transitions[t].events()));
                for (int e = matched[t].nextSetBit(0); e >= 0; e = matched[t].nextSetBit(e + 1)) {
                    int[] before = candidates[s][e];
                    candidates[s][e] = Arrays.copyOf(before, before.length + 1);
                    candidates[s][e][before.length] = t;
                }
            }
        }
    }

    /** Events that one of the descriptors matches (SCXML 3.12.1). */
    private BitSet matching(List<String> descriptors) {
        BitSet matched = new BitSet(events.size());
        for (String descriptor : descriptors) {
            String prefix = descriptor + ".";
            for (int event = 0; event < events.size(); event++) {
                String name = events.get(event);
                if (descriptor.equals("*") || name.equals(descriptor) || name.startsWith(prefix)) {
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
            int event = events.indexOf(descriptor);
            if (event >= 0 && event < gestures) {
                named.set(event);
            }
        }
        return named;
    }
}
