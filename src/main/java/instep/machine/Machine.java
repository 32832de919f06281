package instep.machine;

import static instep.machine.Chart.NONE;

import java.util.BitSet;
import java.util.List;
import java.util.function.IntPredicate;
import org.jspecify.annotations.Nullable;

/**
 * A running chart: W3C SCXML 1.0, appendix D, with detours. It is told the time and calls its effects before it returns; the same events at the
 * same times give the same effects. Allocates nothing for a step that neither sets a value nor fills in a template. Not thread-safe.
 */
public final class Machine implements Values {
    private final Chart chart;
    private final Effects effects;
    private final Memory memory;
    private final Moment moment = new Moment();
    private final Execution execution;
    private final Macrostep macrostep;
    private final Step step;
    private final Detours detours;
    private final OnAir onAir;
    private final Bearings bearings;
    private final BitSet bound = new BitSet();

    /**
     * A machine that has not begun.
     *
     * @param outside values that the machine does not know itself, such as the timecode
     */
    public Machine(Chart chart, Values outside, Effects effects) {
        this.chart = chart;
        this.effects = effects;
        memory = new Memory(chart);
        execution = new Execution(chart, memory, moment, outside, effects, new InternalQueue());
        macrostep = new Macrostep(chart, memory, moment, effects, execution);
        step = macrostep.step();
        detours = new Detours(chart, memory);
        onAir = new OnAir(chart, memory);
        bearings = new Bearings(chart, memory);
    }

    /** Enters the initial states. */
    public void start(long now) {
        macrostep.begin(NONE, now, now);
        memory.running = true;
        step.begin();
        // Were the machine to run in a circle from the first, there is no other place to be set back to.
        macrostep.hold();
        macrostep.complete();
    }

    /**
     * Makes way for another chart: ends the detours that cannot go on there, leaves the states that are not there, and does nothing more.
     *
     * @param gone pedal units whose contacts count as open from now on
     */
    Succession makeWayFor(Chart next, List<String> gone, long now) {
        Succession succession = new Succession(chart, next);
        if (memory.running) {
            succession.note(memory.active);
            macrostep.begin(NONE, now, now);
            for (String pedal : gone) {
                macrostep.endDetoursOf(pedal);
            }
            IntPredicate isGone = t -> !succession.goesOn(t, memory);
            for (int t = detours.newest(isGone); t >= 0; t = detours.newest(isGone)) {
                macrostep.endDetour(t);
            }
            step.leaveFor(succession.settle(memory));
        }
        return succession;
    }

    /** Begins where another machine has made way for this one. */
    void goOnFrom(Machine other, Succession succession, long now) {
        if (!other.memory.running) {
            memory.take = other.memory.take;
            start(now);
            return;
        }
        moment.set(NONE, now, now);
        memory.running = true;
        memory.active.set(0);
        succession.copy(other.memory, memory, now);
        boolean wasOpen = other.memory.rolling > 0;
        if (wasOpen && memory.rolling == 0) {
            effects.takeClosed(memory.take, now, now);
        } else if (!wasOpen && memory.rolling > 0) {
            memory.chapter = 0;
            effects.takeOpened(memory.openTake(now), now, now);
        }
        finish(succession.configuration());
    }

    /**
     * Whether the take that was open there can go on with this chart: one of the states in which a take is open is still there.
     */
    public boolean canResume(Whereabouts standing) {
        return bearings.known(standing).stream().anyMatch(s -> chart.states[s].rolling());
    }

    /** Begins where the standing says, in its open take: its states are active without being entered, the rest is as the chart has it. */
    public void resume(Whereabouts standing, long now) {
        moment.set(NONE, now, now);
        memory.running = true;
        BitSet configuration = bearings.find(standing, step, now);
        effects.takeResumed(memory.take, memory.takeBegan, now);
        finish(configuration);
    }

    private void finish(BitSet configuration) {
        memory.changed = true;
        macrostep.hold();
        step.enterMissing(configuration);
        macrostep.hold();
        macrostep.complete();
    }

    /** Where it stands once the feet are lifted; {@code isClosed} says by contact or chord whether one is on it. */
    Whereabouts standing(IntPredicate isClosed, List<String> latched) {
        return bearings.take(isClosed, latched);
    }

    /** Takes an event from outside; {@code began} is when it began, {@code now} when it is known. */
    public void event(int number, long eventBegan, long now) {
        if (memory.running) {
            macrostep.begin(number, eventBegan, now);
            macrostep.react(number);
            macrostep.complete();
        }
    }

    /** Takes what is due up to and including that time, in order. */
    public void advanceTo(long now) {
        long instant = moment.at;
        int fired = 0;
        for (long due = nextDeadline(); due <= now && due != Memory.NEVER; due = nextDeadline()) {
            macrostep.begin(NONE, due, due);
            fired = moment.at == instant ? fired + 1 : 0;
            instant = moment.at;
            if (fired > Macrostep.MOST_STEPS + chart.transitions.length) {
                stopClock();
                return;
            }
            macrostep.fireDue(due);
            macrostep.complete();
        }
    }

    /** Delays of nothing lead to one another, and time would never go on. */
    private void stopClock() {
        effects.fault(
                "the machine runs in a circle at '" + memory.innermost() + "' without time passing and was stopped",
                moment.at);
        for (int t : chart.delayed) {
            memory.due[t] = memory.due[t] <= moment.at ? Memory.NEVER : memory.due[t];
        }
        for (int i = 0; i < memory.detourCount; i++) {
            int t = memory.detours[i];
            memory.detourDue[t] = memory.detourDue[t] <= moment.at ? Memory.NEVER : memory.detourDue[t];
        }
        memory.changed = true;
    }

    /** When something is due by itself next; {@link Long#MAX_VALUE} if nothing is. */
    public long nextDeadline() {
        long next = Memory.NEVER;
        for (int t : chart.delayed) {
            next = Math.min(next, memory.due[t]);
        }
        for (int i = 0; i < memory.detourCount; i++) {
            next = Math.min(next, memory.detourDue[memory.detours[i]]);
        }
        return next;
    }

    /** Ends all detours that gestures of a pedal unit began, since they cannot end them any more. */
    public void endDetoursOf(String pedal, long now) {
        if (memory.running) {
            macrostep.begin(NONE, now, now);
            macrostep.endDetoursOf(pedal);
            macrostep.complete();
        }
    }

    /**
     * Somebody else put that angle on air: it counts as the newest act, as if a transition without {@code until} had cut to it, and lasts until
     * another is newer. Calls no effect for it.
     */
    public void cutByOther(int angle, long now) {
        if (memory.running) {
            macrostep.begin(NONE, now, now);
            onAir.cutByOther(angle);
            memory.onAir = angle;
            macrostep.complete();
        }
    }

    /** Gives a variable what gear said; false, and nothing happens, if the text is none of its kind or out of its bounds. */
    public boolean assign(int variable, String text, long now) {
        Object value = chart.variable(variable).read(text);
        if (value == null) {
            return false;
        }
        if (memory.running) {
            macrostep.begin(NONE, now, now);
            memory.data[variable] = value;
            macrostep.complete();
        }
        return true;
    }

    /** Whether an active state, or an open detour, is bound to that gesture by its full name. */
    public boolean isBound(int gesture) {
        if (memory.changed) {
            memory.changed = false;
            bound.clear();
            for (int s = memory.active.nextSetBit(0); s >= 0; s = memory.active.nextSetBit(s + 1)) {
                bound.or(chart.matches.boundGestures[s]);
            }
            detours.addBound(bound);
        }
        return bound.get(gesture);
    }

    /** Whether that state is active. */
    public boolean isActive(int state) {
        return memory.active.get(state);
    }

    /** The angle that is to be on air; -1 if no state or detour says one. */
    public int onAir() {
        return memory.onAir;
    }

    /** Whether a take is open. */
    public boolean isRolling() {
        return memory.rolling > 0;
    }

    /** The number of the take that is open, or of the last one; 0 before the first. */
    public long take() {
        return memory.take;
    }

    /** How many detours are open. */
    public int openDetours() {
        return memory.detourCount;
    }

    /** Whether it has begun and has not come to its end. */
    public boolean isRunning() {
        return memory.running;
    }

    /** Counts takes on from that number; before the start. */
    public void countTakesFrom(long last) {
        memory.take = last;
    }

    @Override
    public @Nullable Object value(String name) {
        return execution.value(name);
    }
}
