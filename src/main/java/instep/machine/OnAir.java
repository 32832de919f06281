package instep.machine;

import static instep.machine.Chart.NONE;

/**
 * Which angle is to be on air: the newest act that still stands, be it a detour that is open or an angle that was set in a state that is active.
 */
final class OnAir {
    private final Chart chart;
    private final Memory memory;

    OnAir(Chart chart, Memory memory) {
        this.chart = chart;
        this.memory = memory;
    }

    void entered(int state) {
        memory.base[state] = chart.angle[state];
        memory.baseOrder[state] = ++memory.order;
    }

    /** A return brings back the angle of before, at its old place in the order: what was held above it still is. */
    void enteredAgain(int state, Return from) {
        memory.base[state] = from.angle[state];
        memory.baseOrder[state] = from.angleOrder[state];
    }

    /** A transition that is no detour cut to an angle, which lasts as long as its target, or without one, as its state. */
    void taken(int transition) {
        int angle = chart.transitionAngle[transition];
        if (angle < 0 || chart.transitions[transition].isDetour()) {
            return;
        }
        int state = chart.targets[transition].length > 0 ? chart.firstTarget(transition) : chart.source[transition];
        if (memory.active.get(state)) {
            memory.base[state] = angle;
            memory.baseOrder[state] = ++memory.order;
        }
    }

    /**
     * Somebody else put it on air. That is the newest act; it belongs to no state, and so lasts until a newer
     * one that is no detour.
     */
    void cutByOther(int angle) {
        memory.other = angle;
        memory.otherOrder = ++memory.order;
    }

    /** A detour ends because the machine has gone on: what somebody else had cut to before it is over, too. */
    void forgetBelow(int detour) {
        if (memory.otherOrder < memory.detourOrder[detour]) {
            memory.other = NONE;
        }
    }

    /** It was on air before: set in that state, if that is active, else by somebody else. */
    void setAgain(int angle, int state) {
        if (state >= 0 && memory.active.get(state)) {
            memory.base[state] = angle;
            memory.baseOrder[state] = ++memory.order;
        } else {
            cutByOther(angle);
        }
    }

    /** The angle; -1 for none. */
    int settled() {
        int angle = NONE;
        long newest = Long.MIN_VALUE;
        for (int s = memory.active.nextSetBit(0); s >= 0; s = memory.active.nextSetBit(s + 1)) {
            if (memory.base[s] >= 0 && memory.baseOrder[s] > newest) {
                newest = memory.baseOrder[s];
                angle = memory.base[s];
            }
        }
        if (memory.other >= 0 && memory.otherOrder > newest) {
            newest = memory.otherOrder;
            angle = memory.other;
        } else if (memory.other >= 0 && !isAway()) {
            memory.other = NONE;
        }
        for (int i = 0; i < memory.detourCount; i++) {
            int t = memory.detours[i];
            if (chart.transitionAngle[t] >= 0 && memory.detourOrder[t] > newest) {
                newest = memory.detourOrder[t];
                angle = chart.transitionAngle[t];
            }
        }
        return angle;
    }

    /** What is set in the state that a detour went to ends with the detour, and what it hid comes back. */
    private boolean isAway() {
        for (int i = 0; i < memory.detourCount; i++) {
            if (chart.targets[memory.detours[i]].length > 0) {
                return true;
            }
        }
        return false;
    }
}
