package instep.machine;

import java.util.BitSet;

/** Which transitions an event enables: {@code selectTransitions} and {@code removeConflictingTransitions} of W3C SCXML 1.0, appendix D. */
final class Selection {
    private final Chart chart;
    private final Memory memory;
    private final StateSets sets;
    private final Values values;
    private final int[] enabled;
    private final int[] chosen;
    private final BitSet suppressed;
    private int enabledCount;
    private int count;

    Selection(Chart chart, Memory memory, StateSets sets, Values values) {
        this.chart = chart;
        this.memory = memory;
        this.sets = sets;
        this.values = values;
        enabled = new int[chart.transitions.length];
        chosen = new int[chart.transitions.length];
        suppressed = new BitSet(chart.transitions.length);
    }

    void begin() {
        suppressed.clear();
        count = 0;
    }

    /** The event ended this transition's detour: it does not begin it anew, nor does anything further out in its place. */
    void suppress(int transition) {
        suppressed.set(transition);
    }

    /** Chooses for an event; whether anything was chosen. */
    boolean select(int event) {
        enabledCount = 0;
        for (int s = memory.active.nextSetBit(0); s >= 0; s = memory.active.nextSetBit(s + 1)) {
            if (chart.isAtomic(s)) {
                enableInnermost(s, event);
            }
        }
        return removeConflicts();
    }

    /** Chooses among the transitions without event; whether anything was chosen. */
    boolean selectEventless() {
        if (!chart.canRunOn) {
            return false;
        }
        enabledCount = 0;
        for (int s = memory.active.nextSetBit(0); s >= 0; s = memory.active.nextSetBit(s + 1)) {
            if (chart.isAtomic(s)) {
                enableInnermost(s, -1);
            }
        }
        return removeConflicts();
    }

    /** Chooses just this one. */
    void only(int transition) {
        chosen[0] = transition;
        count = 1;
    }

    int count() {
        return count;
    }

    int get(int index) {
        return chosen[index];
    }

    private void enableInnermost(int atomic, int event) {
        for (int s = atomic; s >= 0; s = chart.parent[s]) {
            int[] candidates = event < 0 ? chart.eventless[s] : chart.matches.candidates[s][event];
            for (int t : candidates) {
                if (suppressed.get(t)) {
                    return;
                }
                if (holds(chart.transitions[t].cond())) {
                    enable(t);
                    return;
                }
            }
        }
    }

    private void enable(int t) {
        for (int i = 0; i < enabledCount; i++) {
            if (enabled[i] == t) {
                return;
            }
        }
        enabled[enabledCount++] = t;
    }

    private boolean removeConflicts() {
        count = 0;
        for (int i = 0; i < enabledCount; i++) {
            if (!isPreempted(enabled[i])) {
                removeOuter(enabled[i]);
                chosen[count++] = enabled[i];
            }
        }
        return count > 0;
    }

    private boolean isPreempted(int t1) {
        for (int i = 0; i < count; i++) {
            int t2 = chosen[i];
            if (conflict(t1, t2) && !chart.isDescendant(chart.source[t1], chart.source[t2])) {
                return true;
            }
        }
        return false;
    }

    private void removeOuter(int t1) {
        int kept = 0;
        for (int i = 0; i < count; i++) {
            if (!conflict(t1, chosen[i])) {
                chosen[kept++] = chosen[i];
            }
        }
        count = kept;
    }

    /** Whether both would leave some same state: their domains lie one in the other. */
    private boolean conflict(int t1, int t2) {
        int d1 = domain(t1);
        int d2 = domain(t2);
        return d1 >= 0 && d2 >= 0 && (d1 == d2 || chart.isDescendant(d1, d2) || chart.isDescendant(d2, d1));
    }

    private int domain(int t) {
        return chart.transitions[t].afterNanos() >= 0 ? Chart.NONE : sets.domain(t);
    }

    boolean holds(Cond cond) {
        if (cond instanceof Cond.All all) {
            for (int i = 0; i < all.conds().size(); i++) {
                if (!holds(all.conds().get(i))) {
                    return false;
                }
            }
            return true;
        } else if (cond instanceof Cond.Any any) {
            for (int i = 0; i < any.conds().size(); i++) {
                if (holds(any.conds().get(i))) {
                    return true;
                }
            }
            return false;
        } else if (cond instanceof Cond.Not not) {
            return !holds(not.cond());
        } else if (cond instanceof Cond.In in) {
            int state = chart.stateNumber(in.state());
            return state >= 0 && memory.active.get(state);
        }
        return holdsForValue(cond);
    }

    private boolean holdsForValue(Cond cond) {
        if (cond instanceof Cond.Equals equals) {
            return equals.constant().equals(values.value(equals.name()));
        } else if (cond instanceof Cond.Above above) {
            return values.value(above.name()) instanceof Long number && number > above.bound();
        }
        Cond.Below below = (Cond.Below) cond;
        return values.value(below.name()) instanceof Long number && number < below.bound();
    }
}
