package instep.machine;

import static instep.machine.Chart.NONE;

import java.util.BitSet;

/**
 * Which states a step leaves and enters: the procedures of the same names in W3C SCXML 1.0, appendix D, on bit sets. Allocates nothing after
 * construction.
 */
final class StateSets {
    private final Chart chart;
    private final Memory memory;

    StateSets(Chart chart, Memory memory) {
        this.chart = chart;
        this.memory = memory;
    }

    /** {@code getTransitionDomain}: the state within which a transition changes what is active; -1 if it stays where it is. */
    int domain(int transition) {
        int[] targets = chart.targets[transition];
        if (targets.length == 0) {
            return NONE;
        }
        int source = chart.source[transition];
        if (chart.transitions[transition].internal()
                && chart.isCompound(source)
                && allEffectiveInside(targets, source)) {
            return source;
        }
        int ancestor = chart.parent[source];
        while (ancestor > 0 && !(chart.isCompound(ancestor) && allEffectiveInside(targets, ancestor))) {
            ancestor = chart.parent[ancestor];
        }
        return Math.max(ancestor, 0);
    }

    /** {@code getEffectiveTargetStates}: a history stands for what it remembers. */
    private boolean allEffectiveInside(int[] targets, int ancestor) {
        for (int target : targets) {
            if (!isEffectiveInside(target, ancestor)) {
                return false;
            }
        }
        return true;
    }

    private boolean isEffectiveInside(int target, int ancestor) {
        if (!chart.isHistory(target)) {
            return chart.isDescendant(target, ancestor);
        }
        BitSet remembered = memory.remembered(target);
        if (remembered.isEmpty()) {
            return allEffectiveInside(chart.initial[target], ancestor);
        }
        for (int s = remembered.nextSetBit(0); s >= 0; s = remembered.nextSetBit(s + 1)) {
            if (!chart.isDescendant(s, ancestor)) {
                return false;
            }
        }
        return true;
    }

    /** {@code computeExitSet}, for one domain: adds the active states inside it. */
    void addExits(int domain, BitSet exits) {
        for (int s = memory.active.nextSetBit(domain + 1);
                s >= 0 && s < chart.end[domain];
                s = memory.active.nextSetBit(s + 1)) {
            exits.set(s);
        }
    }

    /** {@code computeEntrySet}, for one transition. */
    void addEntries(int[] targets, int domain, BitSet entries) {
        for (int target : targets) {
            addDescendants(target, entries);
        }
        for (int target : targets) {
            addEffectiveAncestors(target, domain, entries);
        }
    }

    /** The same for states that a detour returns to. */
    void addEntries(BitSet targets, int domain, BitSet entries) {
        for (int s = targets.nextSetBit(0); s >= 0; s = targets.nextSetBit(s + 1)) {
            addDescendants(s, entries);
        }
        for (int s = targets.nextSetBit(0); s >= 0; s = targets.nextSetBit(s + 1)) {
            addAncestors(s, domain, entries);
        }
    }

    private void addEffectiveAncestors(int target, int domain, BitSet entries) {
        if (!chart.isHistory(target)) {
            addAncestors(target, domain, entries);
        } else if (memory.remembered(target).isEmpty()) {
            for (int instead : chart.initial[target]) {
                addEffectiveAncestors(instead, domain, entries);
            }
        } else {
            BitSet remembered = memory.remembered(target);
            for (int s = remembered.nextSetBit(0); s >= 0; s = remembered.nextSetBit(s + 1)) {
                addAncestors(s, domain, entries);
            }
        }
    }

    /** {@code addDescendantStatesToEnter}. */
    void addDescendants(int state, BitSet entries) {
        if (chart.isHistory(state)) {
            addRemembered(state, entries);
            return;
        }
        entries.set(state);
        if (chart.isParallel(state)) {
            addMissingRegions(state, entries);
        } else if (chart.isCompound(state)) {
            for (int inner : chart.initial[state]) {
                addDescendants(inner, entries);
            }
            for (int inner : chart.initial[state]) {
                addEffectiveAncestors(inner, state, entries);
            }
        }
    }

    private void addRemembered(int history, BitSet entries) {
        BitSet remembered = memory.remembered(history);
        int above = chart.parent[history];
        if (remembered.isEmpty()) {
            for (int instead : chart.initial[history]) {
                addDescendants(instead, entries);
            }
            for (int instead : chart.initial[history]) {
                addEffectiveAncestors(instead, above, entries);
            }
            return;
        }
        for (int s = remembered.nextSetBit(0); s >= 0; s = remembered.nextSetBit(s + 1)) {
            addDescendants(s, entries);
        }
        for (int s = remembered.nextSetBit(0); s >= 0; s = remembered.nextSetBit(s + 1)) {
            addAncestors(s, above, entries);
        }
    }

    /** {@code addAncestorStatesToEnter}. */
    private void addAncestors(int state, int domain, BitSet entries) {
        for (int above = chart.parent[state]; above != domain && above >= 0; above = chart.parent[above]) {
            entries.set(above);
            if (chart.isParallel(above)) {
                addMissingRegions(above, entries);
            }
        }
    }

    private void addMissingRegions(int parallel, BitSet entries) {
        for (int region : chart.children[parallel]) {
            int first = entries.nextSetBit(region);
            if (first < 0 || first >= chart.end[region]) {
                addDescendants(region, entries);
            }
        }
    }

    /** {@code isInFinalState}. */
    boolean isInFinalState(int state) {
        if (chart.isParallel(state)) {
            for (int region : chart.children[state]) {
                if (!isInFinalState(region)) {
                    return false;
                }
            }
            return true;
        }
        for (int child : chart.children[state]) {
            if (chart.states[child].kind() == StateNode.Kind.FINAL && memory.active.get(child)) {
                return true;
            }
        }
        return false;
    }

    /** Before states are left: histories inside them remember what was active (appendix D, {@code exitStates}). */
    void remember(BitSet exits) {
        for (int history : chart.histories) {
            if (exits.get(chart.parent[history])) {
                remember(history, memory.remembered(history));
            }
        }
    }

    private void remember(int history, BitSet remembered) {
        int above = chart.parent[history];
        boolean deep = chart.states[history].kind() == StateNode.Kind.DEEP_HISTORY;
        remembered.clear();
        for (int s = memory.active.nextSetBit(above + 1);
                s >= 0 && s < chart.end[above];
                s = memory.active.nextSetBit(s + 1)) {
            if (deep ? chart.isAtomic(s) : chart.parent[s] == above) {
                remembered.set(s);
            }
        }
    }
}
