package instep.machine;

import static instep.machine.Chart.NONE;

import java.util.Arrays;
import java.util.BitSet;

/** All that changes while a machine runs, in one place, so that it can be set back to where it last stood still. */
final class Memory {
    /** No time at all. */
    static final long NEVER = Long.MAX_VALUE;

    final BitSet active;
    private final BitSet[] history;
    /** By state: the angle that was last set while it was active, and when in the order of all such acts. */
    final int[] base;

    final long[] baseOrder;
    /** By transition: when it is taken by itself. */
    final long[] due;
    /** Open detours, oldest first; they are transitions, and each is open once. */
    final int[] detours;

    int detourCount;
    /** By transition, while its detour is open. */
    final long[] detourOrder;

    final long[] detourDue;
    /** By transition: the event from outside that began it, or that is to begin it later. */
    final int[] detourEvent;

    private final Return[] returns;
    private final Chart chart;
    /** By variable. */
    final Object[] data;

    /** The angle that somebody else put on air, and when in the order of all such acts; none, once a newer act is no detour. */
    int other = NONE;

    long otherOrder;
    long order;
    long take;
    long takeBegan;
    long chapter;
    int rolling;
    int onAir = NONE;
    /** It has begun, and not come to its end. */
    boolean running;
    /** What is active, or which detours are open, may have changed since that was asked. */
    boolean changed = true;

    Memory(Chart chart) {
        this.chart = chart;
        int states = chart.states.length;
        int transitions = chart.transitions.length;
        active = new BitSet(states);
        history = new BitSet[chart.histories.length];
        Arrays.setAll(history, i -> new BitSet(states));
        base = new int[states];
        Arrays.fill(base, NONE);
        baseOrder = new long[states];
        due = new long[transitions];
        Arrays.fill(due, NEVER);
        detours = new int[transitions];
        detourOrder = new long[transitions];
        detourDue = new long[transitions];
        Arrays.fill(detourDue, NEVER);
        detourEvent = new int[transitions];
        returns = new Return[chart.detoursAway.length];
        Arrays.setAll(returns, i -> new Return(states));
        data = chart.initialData();
    }

    void copyFrom(Memory other) {
        copy(other.active, active);
        for (int i = 0; i < history.length; i++) {
            copy(other.history[i], history[i]);
        }
        for (int i = 0; i < returns.length; i++) {
            returns[i].copyFrom(other.returns[i]);
        }
        copy(other.base, base);
        copy(other.baseOrder, baseOrder);
        copy(other.due, due);
        copy(other.detours, detours);
        copy(other.detourOrder, detourOrder);
        copy(other.detourDue, detourDue);
        copy(other.detourEvent, detourEvent);
        System.arraycopy(other.data, 0, data, 0, data.length);
        detourCount = other.detourCount;
        this.other = other.other;
        otherOrder = other.otherOrder;
        order = other.order;
        take = other.take;
        takeBegan = other.takeBegan;
        chapter = other.chapter;
        rolling = other.rolling;
        onAir = other.onAir;
    }

    private static void copy(BitSet from, BitSet to) {
        to.clear();
        to.or(from);
    }

    private static void copy(int[] from, int[] to) {
        System.arraycopy(from, 0, to, 0, from.length);
    }

    private static void copy(long[] from, long[] to) {
        System.arraycopy(from, 0, to, 0, from.length);
    }

    /** Another take begins; returns its number. */
    long openTake(long at) {
        takeBegan = at;
        return ++take;
    }

    /** The name of the active state that has no other in it; of the last region, if there are several. */
    String innermost() {
        return chart.states[active.length() - 1].name();
    }

    /** For a history: the states that it remembers; none: nothing to remember yet. */
    BitSet remembered(int state) {
        return history[chart.historyIndex[state]];
    }

    /** For a detour that goes somewhere: what it returns to. */
    Return returnOf(int transition) {
        return returns[chart.returnIndex[transition]];
    }

    boolean isOpen(int transition) {
        return indexOf(transition) >= 0;
    }

    void open(int transition) {
        close(transition);
        detours[detourCount++] = transition;
        detourOrder[transition] = ++order;
    }

    /** Removes a detour wherever it stands. */
    void close(int transition) {
        int index = indexOf(transition);
        if (index >= 0) {
            System.arraycopy(detours, index + 1, detours, index, detourCount - index - 1);
            detourCount--;
            detourDue[transition] = NEVER;
        }
    }

    private int indexOf(int transition) {
        for (int i = 0; i < detourCount; i++) {
            if (detours[i] == transition) {
                return i;
            }
        }
        return -1;
    }
}
