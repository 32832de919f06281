package instep.machine;

import static instep.machine.Chart.NONE;

import java.util.BitSet;

/** One step of a machine: what the chosen transitions leave, do and enter (appendix D, {@code microstep}), or the return of a detour. */
final class Step {
    private final Chart chart;
    private final Memory memory;
    private final Moment moment;
    private final Effects effects;
    private final Execution execution;
    private final InternalQueue queue;
    private final StateSets sets;
    private final Detours detours;
    private final OnAir onAir;
    private final BitSet exits;
    private final BitSet entries;

    /** The delayed transition that is being taken now, not scheduled. */
    private int firing = NONE;

    /** Transitions are being taken: what is left is left by the mapping, not by a return. */
    private boolean isTaking;

    /** The detour that has ended, while the states are entered that it left. */
    private int returning = NONE;

    Step(Chart chart, Memory memory, Moment moment, Effects effects, Execution execution) {
        this.chart = chart;
        this.memory = memory;
        this.moment = moment;
        this.effects = effects;
        this.execution = execution;
        queue = execution.queue();
        sets = new StateSets(chart, memory);
        detours = new Detours(chart, memory);
        onAir = new OnAir(chart, memory);
        exits = new BitSet(chart.states.length);
        entries = new BitSet(chart.states.length);
    }

    /** Enters the initial states. */
    void begin() {
        entries.clear();
        sets.addDescendants(0, entries);
        enter();
    }

    /** Leaves these states for another chart, which does not have them. */
    void leaveFor(BitSet states) {
        isTaking = true;
        memory.changed = true;
        exits.clear();
        exits.or(states);
        leave();
        forgetLeft(Long.MIN_VALUE);
        forgetDead();
        isTaking = false;
    }

    /** Is in that state again, as if it had never been left; a take that is open in it goes on. */
    void goOnIn(int s) {
        memory.active.set(s);
        onAir.entered(s);
        if (chart.states[s].rolling()) {
            memory.rolling++;
        }
        schedule(s);
    }

    /** Enters those of these states that are not active. */
    void enterMissing(BitSet states) {
        entries.clear();
        entries.or(states);
        enter();
    }

    /** Takes a delayed transition whose time has come. */
    void fire(int transition, Selection selection) {
        firing = transition;
        selection.only(transition);
        take(selection);
        firing = NONE;
    }

    /** Takes the chosen transitions. */
    void take(Selection selection) {
        isTaking = true;
        memory.changed = true;
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
        isTaking = false;
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
            memory.detourDue[t] = node.untilNanos() < 0 ? Memory.NEVER : Moment.later(moment.began, node.untilNanos());
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
    boolean endDetour(int t) {
        memory.changed = true;
        effects.taken(t, true, moment.began, moment.at);
        boolean moves = detours.isReturnDue(t);
        if (moves) {
            long since = memory.detourOrder[t];
            Return back = memory.returnOf(t);
            memory.close(t);
            exits.clear();
            sets.addExits(back.domain, exits);
            leave();
            forgetLeft(since);
            entries.clear();
            sets.addEntries(back.states, back.domain, entries);
            returning = t;
            enter();
            returning = NONE;
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
        if (isTaking) {
            onAir.forgetBelow(detour);
        }
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
        memory.changed = true;
        for (int s = entries.nextSetBit(0); s >= 0 && memory.running; s = entries.nextSetBit(s + 1)) {
            if (!memory.active.get(s)) {
                enter(s);
            }
        }
    }

    private void enter(int s) {
        StateNode node = chart.states[s];
        memory.active.set(s);
        if (returning < 0) {
            onAir.entered(s);
        } else {
            onAir.enteredAgain(s, memory.returnOf(returning));
        }
        if (node.rolling() && memory.rolling++ == 0) {
            memory.chapter = 0;
            effects.takeOpened(memory.openTake(moment.at), moment.began, moment.at);
        }
        effects.entered(s, moment.began, moment.at);
        execution.perform(node.onEntry());
        schedule(s);
        if (node.kind() == StateNode.Kind.FINAL) {
            reachedFinal(s);
        }
    }

    private void schedule(int s) {
        for (int t : chart.transitionsOf[s]) {
            TransitionNode transition = chart.transitions[t];
            if (transition.events().isEmpty() && transition.afterNanos() >= 0) {
                memory.due[t] = Moment.later(moment.at, transition.afterNanos());
            }
        }
    }

    /** SCXML 3.7.1: the state around is done, and a parallel state when all its regions are; at the top, the machine ends. */
    private void reachedFinal(int s) {
        int above = chart.parent[s];
        if (above == 0) {
            memory.running = false;
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
