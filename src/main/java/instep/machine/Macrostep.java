package instep.machine;

/**
 * All that follows from one event, or from one time that came, until the machine has nothing more to do by itself: one turn of {@code mainEventLoop}
 * of W3C SCXML 1.0, appendix D, with detours. It ends with what is to be on air.
 */
final class Macrostep {
    /** Steps that may follow from one event before the machine is held to run in a circle. */
    static final int MOST_STEPS = 200;

    private final Chart chart;
    private final Memory memory;
    private final Moment moment;
    private final Effects effects;
    private final InternalQueue queue;
    private final Selection selection;
    private final Step step;
    private final Detours detours;
    private final OnAir onAir;
    private final StableConfiguration stable;

    Macrostep(Chart chart, Memory memory, Moment moment, Effects effects, Execution execution) {
        this.chart = chart;
        this.memory = memory;
        this.moment = moment;
        this.effects = effects;
        queue = execution.queue();
        selection = new Selection(chart, memory, new StateSets(chart, memory), execution);
        step = new Step(chart, memory, moment, effects, execution);
        detours = new Detours(chart, memory);
        onAir = new OnAir(chart, memory);
        stable = new StableConfiguration(chart, memory, detours, effects);
    }

    /** The steps of which it consists, for what begins without an event. */
    Step step() {
        return step;
    }

    /** From now on what happens follows from that event from outside, or from none. */
    void begin(int cause, long began, long at) {
        moment.set(cause, began, at);
        stable.begin();
    }

    /** Where the machine stands now it is set back to, were it to run in a circle. */
    void hold() {
        stable.hold();
    }

    /** A detour that goes somewhere and ends here has used the event up: what it returns to was not there to hear it. */
    void react(int event) {
        selection.begin();
        boolean returned = false;
        for (int t = detours.newestUntil(event); t >= 0; t = detours.newestUntil(event)) {
            selection.suppress(t);
            returned |= endDetour(t);
        }
        for (int t = detours.delayedUntil(event); t >= 0; t = detours.delayedUntil(event)) {
            selection.suppress(t);
            cancel(t);
        }
        if (!returned && selection.select(event)) {
            step.take(selection);
        }
    }

    /** Ends the oldest detour, or else takes the first transition, whose time that is. */
    void fireDue(long due) {
        int ending = detours.oldestDue(due);
        if (ending >= 0) {
            endDetour(ending);
            return;
        }
        for (int t : chart.delayed) {
            if (memory.due[t] == due) {
                cancel(t);
                fire(t);
                return;
            }
        }
    }

    /** The condition of a transition with an event was asked at the event; without one, it is asked now. */
    private void fire(int t) {
        boolean hasEvent = !chart.transitions[t].events().isEmpty();
        if (hasEvent) {
            moment.cause = memory.detourEvent[t];
        }
        if (hasEvent || selection.holds(chart.transitions[t].cond())) {
            step.fire(t, selection);
        }
    }

    /** Ends the detours that hang on a pedal unit, also those that are yet to begin. */
    void endDetoursOf(String pedal) {
        for (int t = detours.delayedOf(pedal); t >= 0; t = detours.delayedOf(pedal)) {
            cancel(t);
        }
        for (int t = detours.newestOf(pedal); t >= 0; t = detours.newestOf(pedal)) {
            endDetour(t);
        }
    }

    private void cancel(int delayed) {
        memory.changed = true;
        memory.due[delayed] = Memory.NEVER;
        stable.ended(delayed);
    }

    /** Returns whether the end of the detour moved the machine. */
    boolean endDetour(int t) {
        stable.ended(t);
        return step.endDetour(t);
    }

    /** Runs to completion: eventless transitions first, then events of its own making. */
    void complete() {
        for (int steps = 0; memory.running && runOn(); steps++) {
            if (steps == MOST_STEPS) {
                effects.fault(
                        "the machine runs in a circle at '" + memory.innermost() + "' and was set back", moment.at);
                queue.clear();
                stable.restore(moment);
                break;
            }
        }
        settleOnAir();
    }

    private boolean runOn() {
        selection.begin();
        if (selection.selectEventless()) {
            step.take(selection);
            return true;
        }
        if (queue.isEmpty()) {
            return false;
        }
        react(queue.poll());
        return true;
    }

    private void settleOnAir() {
        int angle = onAir.settled();
        if (angle != memory.onAir) {
            memory.onAir = angle;
            if (angle >= 0) {
                effects.cut(angle, moment.began, moment.at);
            }
        }
    }
}
