package instep.machine;

import static instep.machine.Chart.NONE;

import java.util.BitSet;

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
            if (chart.until[memory.detours[i]].get(event)) {
                return memory.detours[i];
            }
        }
        return NONE;
    }

    /** The newest detour that a gesture of that pedal unit began; -1 if there is none. */
    int newestOf(String pedal) {
        for (int i = memory.detourCount - 1; i >= 0; i--) {
            int event = memory.detourEvent[memory.detours[i]];
            if (event >= 0 && event < chart.gestures().count()) {
                int contact = chart.gestures().contact(event);
                if (chart.gestures().contacts().get(contact).pedal().equals(pedal)) {
                    return memory.detours[i];
                }
            }
        }
        return NONE;
    }

    /** Before states are left: the chosen detours that go somewhere note what to return to. */
    void save(Selection selection, BitSet exits) {
        for (int i = 0; i < selection.count(); i++) {
            int t = selection.get(i);
            if (chart.transitions[t].isDetour() && chart.targets[t].length > 0) {
                BitSet saved = memory.detourReturn[t];
                saved.clear();
                for (int s = exits.nextSetBit(0); s >= 0; s = exits.nextSetBit(s + 1)) {
                    if (chart.isAtomic(s)) {
                        saved.set(s);
                    }
                }
                memory.detourDomain[t] = outermostLeft(exits);
            }
        }
    }

    private int outermostLeft(BitSet exits) {
        int first = exits.nextSetBit(0);
        return first < 0 ? 0 : chart.parent[first];
    }

    /** Whether ending this detour moves the machine: no newer one stands on its target. */
    boolean isReturnDue(int t) {
        return memory.active.get(effectiveTarget(t)) && heir(t) < 0;
    }

    /** What a detour in the middle would have returned to, the newer one on top of it returns to instead. */
    void bequeath(int t) {
        int heir = chart.targets[t].length > 0 ? heir(t) : NONE;
        if (heir >= 0) {
            int outer = Math.min(memory.detourDomain[t], memory.detourDomain[heir]);
            BitSet to = memory.detourReturn[heir];
            int domain = memory.detourDomain[t];
            to.clear(domain + 1, chart.end[domain]);
            to.or(memory.detourReturn[t]);
            memory.detourDomain[heir] = outer;
        }
    }

    /** The newest detour that cannot return any more: its declaring state was left, or its target was left without it. */
    int newestDead() {
        for (int i = memory.detourCount - 1; i >= 0; i--) {
            if (!isAlive(memory.detours[i])) {
                return memory.detours[i];
            }
        }
        return NONE;
    }

    private boolean isAlive(int t) {
        if (chart.targets[t].length == 0) {
            return isStanding(chart.source[t], t);
        }
        return memory.active.get(memory.detourDomain[t]) && isStanding(effectiveTarget(t), t);
    }

    /** Active, or left only by a newer detour that will return to it. */
    private boolean isStanding(int state, int than) {
        return memory.active.get(state) || keeper(state, than) >= 0;
    }

    private int heir(int t) {
        return keeper(effectiveTarget(t), t);
    }

    private int keeper(int state, int than) {
        for (int i = memory.detourCount - 1; i >= 0; i--) {
            int other = memory.detours[i];
            if (memory.detourOrder[other] <= memory.detourOrder[than] && memory.isOpen(than)) {
                return NONE;
            }
            if (other != than && chart.targets[other].length > 0) {
                int kept = memory.detourReturn[other].nextSetBit(state);
                if (kept >= 0 && kept < chart.end[state]) {
                    return other;
                }
            }
        }
        return NONE;
    }

    /** A history as target stands for the state around it. */
    private int effectiveTarget(int t) {
        int target = chart.targets[t][0];
        return chart.isHistory(target) ? chart.parent[target] : target;
    }
}
