package instep.machine;

import static instep.machine.Chart.NONE;

import java.util.BitSet;
import org.jspecify.annotations.Nullable;

/**
 * A running chart: W3C SCXML 1.0, appendix D, with detours. It is told the time and calls its effects before it returns; the same events at the
 * same times give the same effects. Allocates nothing for a step that neither sets a value nor fills in a template. Not thread-safe.
 */
public final class Machine implements Values {
    /** Steps that may follow from one event before the machine is held to run in a circle. */
    static final int MOST_STEPS = 200;

    private final Chart chart;
    private final Effects effects;
    private final Memory memory;
    private final Memory stable;
    private final Moment moment = new Moment();
    private final InternalQueue queue = new InternalQueue();
    private final StateSets sets;
    private final Execution execution;
    private final Selection selection;
    private final Detours detours;
    private final OnAir onAir;
    private final BitSet exits;
    private final BitSet entries;
    private final BitSet bound = new BitSet();

    /** The detours and delays whose end has come in this step: they stay ended if it is set back. */
    private final BitSet ended = new BitSet();

    private boolean boundIsStale = true;
    private boolean running;
    /** The delayed transition that is being taken now, not scheduled. */
    private int firing = NONE;

    /** A detour has ended, and the states that are entered are those that it left. */
    private boolean returning;

    /**
     * A machine that has not begun.
     *
     * @param outside values that the machine does not know itself, such as the timecode
     */
    public Machine(Chart chart, Values outside, Effects effects) {
        this.chart = chart;
        this.effects = effects;
        memory = new Memory(chart);
        stable = new Memory(chart);
        sets = new StateSets(chart, memory);
        execution = new Execution(chart, memory, moment, outside, effects, queue);
        selection = new Selection(chart, memory, sets, execution);
        detours = new Detours(chart, memory);
        onAir = new OnAir(chart, memory);
        exits = new BitSet(chart.states.length);
        entries = new BitSet(chart.states.length);
    }

    /** Enters the initial states. */
    public void start(long now) {
        begin(NONE, now, now);
        running = true;
        entries.clear();
        sets.addDescendants(0, entries);
        enter();
        // Were the machine to run in a circle from the first, there is no other place to be set back to.
        stable.copyFrom(memory);
        complete();
    }

    /** Takes an event from outside; {@code began} is when it began, {@code now} when it is known. */
    public void event(int number, long eventBegan, long now) {
        if (running) {
            begin(number, eventBegan, now);
            react(number);
            complete();
        }
    }

    /** Takes what is due up to and including that time, in order. */
    public void advanceTo(long now) {
        for (long due = nextDeadline(); due <= now && running; due = nextDeadline()) {
            begin(NONE, due, due);
            fire(due);
            complete();
        }
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
        if (running) {
            begin(NONE, now, now);
            for (int t = detours.delayedOf(pedal); t >= 0; t = detours.delayedOf(pedal)) {
                cancel(t);
            }
            for (int t = detours.newestOf(pedal); t >= 0; t = detours.newestOf(pedal)) {
                endDetour(t);
            }
            complete();
        }
    }

    /** Whether an active state, or an open detour, is bound to that gesture by its full name. */
    public boolean isBound(int gesture) {
        if (boundIsStale) {
            boundIsStale = false;
            bound.clear();
            for (int s = memory.active.nextSetBit(0); s >= 0; s = memory.active.nextSetBit(s + 1)) {
                bound.or(chart.boundGestures[s]);
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
        return running;
    }

    /** Counts takes on from that number; before the start. */
    public void countTakesFrom(long last) {
        memory.take = last;
    }

    @Override
    public @Nullable Object value(String name) {
        return execution.value(name);
    }

    private void begin(int cause, long began, long at) {
        moment.set(cause, began, at);
        firing = NONE;
        ended.clear();
        if (chart.canRunOn) {
            stable.copyFrom(memory);
        }
    }

    /** A detour that goes somewhere and ends here has used the event up: what it returns to was not there to hear it. */
    private void react(int number) {
        selection.begin();
        boolean returned = false;
        for (int t = detours.newestUntil(number); t >= 0; t = detours.newestUntil(number)) {
            selection.suppress(t);
            returned |= endDetour(t);
        }
        for (int t = detours.delayedUntil(number); t >= 0; t = detours.delayedUntil(number)) {
            selection.suppress(t);
            cancel(t);
        }
        if (!returned && selection.select(number)) {
            microstep();
        }
    }

    private void fire(long due) {
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

    private void cancel(int delayed) {
        boundIsStale = true;
        memory.due[delayed] = Memory.NEVER;
        ended.set(delayed);
    }

    /** The condition of a transition with an event was asked at the event; without one, it is asked now. */
    private void fire(int t) {
        boolean hasEvent = !chart.transitions[t].events().isEmpty();
        if (hasEvent) {
            moment.cause = memory.detourEvent[t];
        }
        if (hasEvent || selection.holds(chart.transitions[t].cond())) {
            firing = t;
            selection.only(t);
            microstep();
            firing = NONE;
        }
    }

    /** Runs to completion: eventless transitions first, then events of its own making. */
    private void complete() {
        for (int steps = 0; running && runOn(); steps++) {
            if (steps == MOST_STEPS) {
                setBack();
                break;
            }
        }
        settleOnAir();
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

    private boolean runOn() {
        selection.begin();
        if (selection.selectEventless()) {
            microstep();
            return true;
        }
        if (queue.isEmpty()) {
            return false;
        }
        react(queue.poll());
        return true;
    }

    /** What was told of the circle is told back; a number of a take that was told is not used for another. */
    private void setBack() {
        String where = chart.states[memory.active.length() - 1].name();
        effects.fault("the machine runs in a circle at '" + where + "' and was set back", moment.at);
        Memory circle = new Memory(chart);
        circle.copyFrom(memory);
        memory.copyFrom(stable);
        memory.take = circle.take;
        for (int t = ended.nextSetBit(0); t >= 0; t = ended.nextSetBit(t + 1)) {
            memory.due[t] = Memory.NEVER;
            detours.bequeath(t);
            memory.close(t);
        }
        queue.clear();
        boundIsStale = true;
        for (int s = circle.active.length() - 1; s >= 0; s = circle.active.previousSetBit(s - 1)) {
            if (!memory.active.get(s)) {
                effects.left(s, moment.began, moment.at);
            }
        }
        if (circle.rolling > 0 && !isRolling()) {
            effects.takeClosed(memory.take, moment.began, moment.at);
        } else if (circle.rolling == 0 && isRolling()) {
            effects.takeOpened(++memory.take, moment.began, moment.at);
        }
        for (int s = memory.active.nextSetBit(0); s >= 0; s = memory.active.nextSetBit(s + 1)) {
            if (!circle.active.get(s)) {
                effects.entered(s, moment.began, moment.at);
            }
        }
        tellDetours(circle);
    }

    private void tellDetours(Memory before) {
        for (int t = 0; t < chart.transitions.length; t++) {
            if (before.isOpen(t) != memory.isOpen(t)) {
                effects.taken(t, before.isOpen(t), moment.began, moment.at);
            }
        }
    }

    private void microstep() {
        boundIsStale = true;
        exits.clear();
        for (int i = 0; i < selection.count(); i++) {
            int t = selection.get(i);
            int domain = isDeferred(t) ? NONE : sets.domain(t);
            if (domain >= 0) {
                sets.addExits(domain, exits);
                detours.save(t, domain);
            }
        }
        leave();
        for (int i = 0; i < selection.count(); i++) {
            run(selection.get(i));
        }
        forgetLeft(Long.MIN_VALUE);
        entries.clear();
        for (int i = 0; i < selection.count(); i++) {
            int t = selection.get(i);
            if (!isDeferred(t) && chart.targets[t].length > 0) {
                sets.addEntries(chart.targets[t], sets.domain(t), entries);
            }
        }
        enter();
        for (int i = 0; i < selection.count(); i++) {
            if (!isDeferred(selection.get(i))) {
                onAir.taken(selection.get(i));
            }
        }
        forgetDead();
    }

    private boolean isDeferred(int t) {
        return t != firing && chart.transitions[t].afterNanos() >= 0;
    }

    private void run(int t) {
        TransitionNode node = chart.transitions[t];
        if (isDeferred(t)) {
            defer(t);
            return;
        }
        effects.taken(t, false, moment.began, moment.at);
        execution.perform(node.actions());
        if (node.isDetour()) {
            memory.open(t);
            memory.detourEvent[t] = moment.cause;
            memory.detourDue[t] = node.untilNanos() < 0
                    ? Memory.NEVER
                    : Math.max(moment.at, Moment.later(moment.began, node.untilNanos()));
        }
    }

    /** Another region's transition of this step may have left the state that would wait. */
    private void defer(int t) {
        if (memory.active.get(chart.source[t])) {
            memory.due[t] = Moment.later(moment.at, chart.transitions[t].afterNanos());
            memory.detourEvent[t] = moment.cause;
        }
    }

    /** Returns whether the end of the detour moved the machine. */
    private boolean endDetour(int t) {
        boundIsStale = true;
        ended.set(t);
        effects.taken(t, true, moment.began, moment.at);
        boolean moves = detours.isReturnDue(t);
        if (moves) {
            long since = memory.detourOrder[t];
            int domain = memory.detourDomain[t];
            memory.close(t);
            exits.clear();
            sets.addExits(domain, exits);
            leave();
            forgetLeft(since);
            entries.clear();
            sets.addEntries(memory.detourReturn[t], domain, entries);
            returning = true;
            enter();
            returning = false;
        } else {
            detours.bequeath(t);
            memory.close(t);
        }
        forgetDead();
        return moves;
    }

    /** Ends the detours, begun after that, whose declaring states have just been left for good, though they may be entered anew. */
    private void forgetLeft(long since) {
        for (int t = detours.newestLeft(exits, since); t >= 0; t = detours.newestLeft(exits, since)) {
            forget(t);
        }
    }

    private void forgetDead() {
        for (int t = detours.newestDead(); t >= 0; t = detours.newestDead()) {
            forget(t);
        }
    }

    private void forget(int detour) {
        detours.bequeath(detour);
        memory.close(detour);
        effects.taken(detour, true, moment.began, moment.at);
    }

    private void leave() {
        sets.remember(exits);
        for (int s = exits.length() - 1; s >= 0; s = exits.previousSetBit(s - 1)) {
            execution.perform(chart.states[s].onExit());
            memory.active.clear(s);
            for (int t : chart.transitionsOf[s]) {
                memory.due[t] = Memory.NEVER;
            }
            effects.left(s, moment.began, moment.at);
            if (chart.states[s].rolling() && --memory.rolling == 0) {
                effects.takeClosed(memory.take, moment.began, moment.at);
            }
        }
    }

    private void enter() {
        boundIsStale = true;
        for (int s = entries.nextSetBit(0); s >= 0 && running; s = entries.nextSetBit(s + 1)) {
            if (!memory.active.get(s)) {
                enter(s);
            }
        }
    }

    private void enter(int s) {
        StateNode node = chart.states[s];
        memory.active.set(s);
        onAir.entered(s, returning);
        if (node.rolling() && memory.rolling++ == 0) {
            memory.chapter = 0;
            effects.takeOpened(++memory.take, moment.began, moment.at);
        }
        effects.entered(s, moment.began, moment.at);
        execution.perform(node.onEntry());
        for (int t : chart.transitionsOf[s]) {
            TransitionNode transition = chart.transitions[t];
            if (transition.events().isEmpty() && transition.afterNanos() >= 0) {
                memory.due[t] = Moment.later(moment.at, transition.afterNanos());
            }
        }
        if (node.kind() == StateNode.Kind.FINAL) {
            reachedFinal(s);
        }
    }

    /** SCXML 3.7.1: the state around is done, and a parallel state when all its regions are; at the top, the machine ends. */
    private void reachedFinal(int s) {
        int above = chart.parent[s];
        if (above == 0) {
            running = false;
            exits.clear();
            exits.or(memory.active);
            leave();
            queue.clear();
            return;
        }
        queue.add(chart.doneEvent[above]);
        int around = chart.parent[above];
        if (chart.isParallel(around) && sets.isInFinalState(around)) {
            queue.add(chart.doneEvent[around]);
        }
    }
}
