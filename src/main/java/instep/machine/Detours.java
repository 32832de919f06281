package instep.machine;

import static instep.machine.Chart.NONE;

import java.util.BitSet;
import java.util.function.IntPredicate;

/**
 * The detours that are open. They stack in the order in which they began, and ending one removes it wherever it stands. A detour that went to
 * another state remembers what it left; while a newer one has left its target in turn, it is alive in the other's memory.
 */
final class Detours {
    private final Chart chart;
    private final Memory memory;

    Detours(Chart chart, Memory memory) {
        this.chart = chart;
        this.memory = memory;
    }

    /** The newest detour that the event ends; -1 if it ends none. */
    int newestUntil(int event) {
        for (int i = memory.detourCount - 1; i >= 0; i--) {
            if (chart.matches.until[memory.detours[i]].get(event)) {
                return memory.detours[i];
            }
        }
        return NONE;
    }

    /** A detour that is to begin later and that the event ends before it has begun; -1 if there is none. */
    int delayedUntil(int event) {
        for (int t : chart.delayedDetours) {
            if (memory.due[t] != Memory.NEVER && chart.matches.until[t].get(event)) {
                return t;
            }
        }
        return NONE;
    }

    /** The oldest detour whose time is up then; -1 if there is none. */
    int oldestDue(long due) {
        for (int i = 0; i < memory.detourCount; i++) {
            if (memory.detourDue[memory.detours[i]] == due) {
                return memory.detours[i];
            }
        }
        return NONE;
    }

    /** The newest detour that a gesture of that pedal unit began, or that nothing else can end; -1 if there is none. */
    int newestOf(String pedal) {
        return newest(t -> hangsOn(t, pedal));
    }

    /** The newest detour of which that holds; -1 if there is none. */
    int newest(IntPredicate which) {
        for (int i = memory.detourCount - 1; i >= 0; i--) {
            if (which.test(memory.detours[i])) {
                return memory.detours[i];
            }
        }
        return NONE;
    }

    /** A detour of that pedal unit that is to begin later; -1 if there is none. */
    int delayedOf(String pedal) {
        for (int t : chart.delayedDetours) {
            if (memory.due[t] != Memory.NEVER && hangsOn(t, pedal)) {
                return t;
            }
        }
        return NONE;
    }

    private boolean hangsOn(int t, String pedal) {
        return wasBegunBy(t, pedal) || isOnlyEndedBy(t, pedal);
    }

    private boolean isOnlyEndedBy(int t, String pedal) {
        if (chart.transitions[t].untilNanos() >= 0 || chart.matches.until[t].isEmpty()) {
            return false;
        }
        int gestures = chart.gestures().count();
        return chart.matches.until[t].stream()
                .allMatch(event -> event < gestures && chart.gestures().involves(event, pedal));
    }

    private boolean wasBegunBy(int t, String pedal) {
        int event = memory.detourEvent[t];
        return event >= 0
                && event < chart.gestures().count()
                && chart.gestures().involves(event, pedal);
    }

    /** Adds the gestures that end those that are open or yet to begin. */
    void addBound(BitSet bound) {
        for (int i = 0; i < memory.detourCount; i++) {
            bound.or(chart.matches.untilGestures[memory.detours[i]]);
        }
        for (int t : chart.delayedDetours) {
            if (memory.due[t] != Memory.NEVER) {
                bound.or(chart.matches.untilGestures[t]);
            }
        }
    }

    /**
     * Before states are left: a detour that goes somewhere notes what to return to. One that is open already is taken out of the middle and
     * put on top; on the top, it goes on returning to where it came from first.
     */
    void save(int t, int domain) {
        if (!chart.transitions[t].isDetour()) {
            return;
        }
        if (memory.isOpen(t) && heir(t) < 0) {
            return;
        }
        if (memory.isOpen(t)) {
            bequeath(t);
        }
        Return saved = memory.returnOf(t);
        saved.domain = domain;
        saved.states.clear();
        for (int s = memory.active.nextSetBit(domain + 1);
                s >= 0 && s < chart.end[domain];
                s = memory.active.nextSetBit(s + 1)) {
            if (chart.isAtomic(s)) {
                saved.states.set(s);
            }
        }
        saved.copyAngles(memory.base, memory.baseOrder, domain, chart.end[domain]);
    }

    /** Whether ending this detour moves the machine: it went somewhere, and no newer one stands on its target. */
    boolean isReturnDue(int t) {
        return chart.targets[t].length > 0 && memory.active.get(chart.firstTarget(t)) && heir(t) < 0;
    }

    /** What a detour in the middle would have returned to, the newer one on top of it returns to instead. */
    void bequeath(int t) {
        int heir = chart.targets[t].length > 0 && memory.isOpen(t) ? heir(t) : NONE;
        if (heir >= 0) {
            // Both left the target of this one, so that one domain lies within the other; the outer has the lower
            // number.
            Return from = memory.returnOf(t);
            Return to = memory.returnOf(heir);
            int end = chart.end[from.domain];
            to.states.clear(from.domain + 1, end);
            to.states.or(from.states);
            to.copyAngles(from.angle, from.angleOrder, from.domain, end);
            to.domain = Math.min(from.domain, to.domain);
        }
    }

    /** The newest detour to an angle, begun after that, whose declaring state is among those left; -1 if there is none. */
    int newestLeft(BitSet left, long since) {
        for (int i = memory.detourCount - 1; i >= 0; i--) {
            int t = memory.detours[i];
            if (memory.detourOrder[t] > since
                    && chart.targets[t].length == 0
                    && left.get(chart.source[t])
                    && keeper(chart.source[t], t) < 0) {
                return t;
            }
        }
        return NONE;
    }

    /** The newest detour that cannot return any more: its declaring state was left, or its target was left without it. */
    int newestDead() {
        for (int i = memory.detourCount - 1; i >= 0; i--) {
            int t = memory.detours[i];
            int state = chart.targets[t].length == 0 ? chart.source[t] : chart.firstTarget(t);
            if (!memory.active.get(state) && keeper(state, t) < 0) {
                return t;
            }
        }
        return NONE;
    }

    private int heir(int t) {
        return keeper(chart.firstTarget(t), t);
    }

    /** The newest detour, newer than the other, that left that state and will return to it; -1 if there is none. */
    private int keeper(int state, int than) {
        for (int i = memory.detourCount - 1; i >= 0; i--) {
            int other = memory.detours[i];
            if (memory.detourOrder[other] <= memory.detourOrder[than]) {
                return NONE;
            }
            if (chart.targets[other].length > 0) {
                int kept = memory.returnOf(other).states.nextSetBit(state);
                if (kept >= 0 && kept < chart.end[state]) {
                    return other;
                }
            }
        }
        return NONE;
    }
}
