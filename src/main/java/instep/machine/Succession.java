package instep.machine;

import static instep.machine.Chart.NONE;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.BitSet;
import java.util.List;

/**
 * How a machine goes over from its chart to another: states are the same if they bear the same name, transitions if they stand in the same state and say the same. What was
 * active and is still there stays active without being left or entered; what is not there any more is left in the old chart; what has to be active instead is entered in the new one.
 */
public final class Succession {
    final Chart before;
    final Chart next;
    /** By state and by transition of the old chart: the number in the new one; -1: it is gone. */
    final int[] state;

    final int[] transition;
    /** What will be active, in the new chart's numbers. */
    private final BitSet configuration = new BitSet();

    private final BitSet stood = new BitSet();

    Succession(Chart before, Chart next) {
        this.before = before;
        this.next = next;
        state = new int[before.states.length];
        transition = new int[before.transitions.length];
        Arrays.fill(transition, NONE);
        for (int s = 1; s < state.length; s++) {
            int same = next.stateNumber(before.states[s].name());
            state[s] = same > 0 && before.isHistory(s) == next.isHistory(same) ? same : NONE;
        }
        for (int s = 0; s < state.length; s++) {
            if (state[s] >= 0) {
                matchTransitions(s);
            }
        }
    }

    private void matchTransitions(int s) {
        BitSet taken = new BitSet();
        for (int t : before.transitionsOf[s]) {
            for (int other : next.transitionsOf[state[s]]) {
                if (transition[t] < 0 && !taken.get(other) && isSame(before.transitions[t], next.transitions[other])) {
                    transition[t] = other;
                    taken.set(other);
                }
            }
        }
    }

    /** Wherever they stand in their files. */
    private static boolean isSame(TransitionNode one, TransitionNode other) {
        return one.equals(new TransitionNode(
                one.place(),
                other.events(),
                other.targets(),
                other.internal(),
                other.angle(),
                other.untilEvents(),
                other.untilNanos(),
                other.afterNanos(),
                other.cond(),
                other.actions()));
    }

    /** Whether an open detour can go on: it is written as before, and all that it would return to is still there. */
    boolean goesOn(int detour, Memory memory) {
        if (transition[detour] < 0) {
            return false;
        }
        if (before.targets[detour].length == 0) {
            return true;
        }
        Return back = memory.returnOf(detour);
        return (back.domain == 0 || state[back.domain] >= 0)
                && back.states.stream().allMatch(s -> state[s] >= 0);
    }

    /** Takes note of what is active before anything changes. */
    void note(BitSet active) {
        stood.or(active);
    }

    /** The innermost states that were active. */
    public List<String> before() {
        return names(before, stood);
    }

    /** The innermost states that are active from now on, before anything follows from that. */
    public List<String> after() {
        return names(next, configuration);
    }

    private static List<String> names(Chart chart, BitSet active) {
        return active.stream()
                .filter(chart::isAtomic)
                .mapToObj(s -> chart.states[s].name())
                .toList();
    }

    /** Settles what will be active; returns the states of the old chart that are to be left for it. */
    BitSet settle(Memory memory) {
        List<Integer> wanted = new ArrayList<>();
        memory.active.stream().filter(s -> state[s] >= 0).forEach(s -> wanted.add(state[s]));
        configuration.or(configuration(next, wanted));
        BitSet left = new BitSet();
        memory.active.stream()
                .filter(s -> s > 0 && (state[s] < 0 || !configuration.get(state[s])))
                .forEach(left::set);
        return left;
    }

    BitSet configuration() {
        return configuration;
    }

    /** What is active with these states: they, what is around them, and what else that asks for. Of two that exclude each other, the first counts. */
    static BitSet configuration(Chart chart, List<Integer> wanted) {
        List<Integer> targets = new ArrayList<>();
        for (int s : wanted) {
            boolean isAround = wanted.stream().anyMatch(other -> chart.isDescendant(other, s));
            if (!isAround && targets.stream().allMatch(other -> canBoth(chart, s, other))) {
                targets.add(s);
            }
        }
        BitSet all = new BitSet();
        StateSets sets = new StateSets(chart, new Memory(chart));
        if (targets.isEmpty()) {
            sets.addDescendants(0, all);
        } else {
            all.set(0);
            sets.addEntries(targets.stream().mapToInt(Integer::intValue).toArray(), 0, all);
        }
        return all;
    }

    private static boolean canBoth(Chart chart, int one, int other) {
        int around = chart.parent[one];
        while (!chart.isDescendant(other, around)) {
            around = chart.parent[around];
        }
        return chart.isParallel(around);
    }

    /** Takes over what is remembered, from the old machine after it has left what is to be left. */
    void copy(Memory from, Memory to, long now) {
        to.take = from.take;
        to.takeBegan = from.takeBegan;
        to.chapter = from.chapter;
        to.order = from.order;
        to.onAir = angle(from.onAir);
        to.other = angle(from.other);
        to.otherOrder = from.otherOrder;
        copyValues(from, to);
        for (int s = from.active.nextSetBit(1); s >= 0; s = from.active.nextSetBit(s + 1)) {
            copyState(s, from, to, now);
        }
        for (int history : before.histories) {
            if (state[history] >= 0) {
                copyHistory(from.remembered(history), to.remembered(state[history]), next.parent[state[history]]);
            }
        }
        for (int i = 0; i < from.detourCount; i++) {
            copyDetour(from.detours[i], from, to);
        }
        for (int t : before.delayed) {
            int same = transition[t];
            if (same >= 0 && from.due[t] != Memory.NEVER && to.active.get(next.source[same])) {
                to.due[same] = from.due[t];
                to.detourEvent[same] = event(from.detourEvent[t]);
            }
        }
    }

    private void copyValues(Memory from, Memory to) {
        for (int v = 0; v < to.data.length; v++) {
            int old = before.variableNumber(next.variable(v).name());
            if (old >= 0 && next.variable(v).takes(from.data[old])) {
                to.data[v] = from.data[old];
            }
        }
    }

    /** An angle that is the state's own is the new chart's own from now on; one that was set there stays set. */
    private void copyState(int s, Memory from, Memory to, long now) {
        int same = state[s];
        to.active.set(same);
        boolean isOwn = from.base[s] == before.angle[s] || angle(from.base[s]) < 0;
        to.base[same] = isOwn ? next.angle[same] : angle(from.base[s]);
        to.baseOrder[same] = from.baseOrder[s];
        if (next.states[same].rolling()) {
            to.rolling++;
        }
        BitSet known = new BitSet();
        Arrays.stream(before.transitionsOf[s])
                .map(t -> transition[t])
                .filter(t -> t >= 0)
                .forEach(known::set);
        for (int t : next.transitionsOf[same]) {
            TransitionNode node = next.transitions[t];
            if (!known.get(t) && node.events().isEmpty() && node.afterNanos() >= 0) {
                to.due[t] = Moment.later(now, node.afterNanos());
            }
        }
    }

    private void copyHistory(BitSet from, BitSet to, int within) {
        boolean isWhole = from.stream().allMatch(s -> state[s] >= 0 && next.isDescendant(state[s], within));
        if (isWhole) {
            from.stream().forEach(s -> to.set(state[s]));
        }
    }

    private void copyDetour(int t, Memory from, Memory to) {
        int same = transition[t];
        to.detours[to.detourCount++] = same;
        to.detourOrder[same] = from.detourOrder[t];
        to.detourDue[same] = from.detourDue[t];
        to.detourEvent[same] = event(from.detourEvent[t]);
        if (before.targets[t].length > 0) {
            Return old = from.returnOf(t);
            Return back = to.returnOf(same);
            back.domain = old.domain == 0 ? 0 : state[old.domain];
            old.states.stream().forEach(s -> back.states.set(state[s]));
            System.arraycopy(next.angle, 0, back.angle, 0, next.angle.length);
            for (int s = 1; s < state.length; s++) {
                if (state[s] >= 0) {
                    boolean isOwn = old.angle[s] == before.angle[s] || angle(old.angle[s]) < 0;
                    back.angle[state[s]] = isOwn ? next.angle[state[s]] : angle(old.angle[s]);
                    back.angleOrder[state[s]] = old.angleOrder[s];
                }
            }
        }
    }

    private int event(int number) {
        return number < 0 ? NONE : next.event(before.eventName(number));
    }

    private int angle(int number) {
        String name = before.angleName(number);
        return name == null ? NONE : next.angleNumber(name);
    }
}
