package instep.machine;

import java.util.BitSet;

/** Where a machine last stood still, with nothing more to do by itself: there it is set back to if it runs in a circle. */
final class StableConfiguration {
    private final Chart chart;
    private final Memory memory;
    private final Memory held;
    private final Detours detours;
    private final Effects effects;
    /** The detours and delays whose end has come in this step: they stay ended. */
    private final BitSet ended = new BitSet();

    StableConfiguration(Chart chart, Memory memory, Detours detours, Effects effects) {
        this.chart = chart;
        this.memory = memory;
        this.detours = detours;
        this.effects = effects;
        held = new Memory(chart);
    }

    /** A step begins, from where the machine stands now. */
    void begin() {
        ended.clear();
        if (chart.canRunOn) {
            hold();
        }
    }

    /** The machine stands still. */
    void hold() {
        held.copyFrom(memory);
    }

    /** The time of that detour or delay has come. */
    void ended(int transition) {
        ended.set(transition);
    }

    /** What was told of the circle is told back; a number of a take that was told is not used for another. */
    void restore(Moment moment) {
        Memory circle = new Memory(chart);
        circle.copyFrom(memory);
        memory.copyFrom(held);
        memory.take = circle.take;
        memory.takeBegan = circle.takeBegan;
        for (int t = ended.nextSetBit(0); t >= 0; t = ended.nextSetBit(t + 1)) {
            memory.due[t] = Memory.NEVER;
            detours.bequeath(t);
            memory.close(t);
        }
        memory.changed = true;
        for (int s = circle.active.length() - 1; s >= 0; s = circle.active.previousSetBit(s - 1)) {
            if (!memory.active.get(s)) {
                effects.left(s, moment.began, moment.at);
            }
        }
        if (circle.rolling > 0 && memory.rolling == 0) {
            effects.takeClosed(memory.take, moment.began, moment.at);
        } else if (circle.rolling == 0 && memory.rolling > 0) {
            effects.takeOpened(memory.openTake(moment.at), moment.began, moment.at);
        }
        for (int s = memory.active.nextSetBit(0); s >= 0; s = memory.active.nextSetBit(s + 1)) {
            if (!circle.active.get(s)) {
                effects.entered(s, moment.began, moment.at);
            }
        }
        tellDetours(circle, moment);
    }

    private void tellDetours(Memory before, Moment moment) {
        for (int t = 0; t < chart.transitions.length; t++) {
            if (before.isOpen(t) != memory.isOpen(t)) {
                effects.taken(t, before.isOpen(t), moment.began, moment.at);
            }
        }
    }
}
