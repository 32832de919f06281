package instep.machine;

import static instep.machine.Chart.NONE;

import java.util.BitSet;
import org.jspecify.annotations.Nullable;

/**
 * A running chart: W3C SCXML 1.0, appendix D, with detours. It is told the time and calls its effects before it returns; the same events at the same
 * times give the same effects. Allocates nothing for a step without templates. Not thread-safe.
 */
public final class Machine implements Values {
    /** Steps that may follow from one event before the machine is held to run in a circle. */
    static final int MOST_STEPS = 1_000;

    private final Chart chart;
    private final Effects effects;
    private final Values outside;
    private final Memory memory;
    private final Memory stable;
    private final StateSets sets;
    private final Selection selection;
    private final Detours detours;
    private final InternalQueue queue = new InternalQueue();
    private final BitSet exits;
    private final BitSet entries;
    private final BitSet bound = new BitSet();

    private boolean boundIsStale = true;
    private boolean running;
    private long began;
    private long at;
    private int event = NONE;
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
        this.outside = outside;
        this.effects = effects;
        memory = new Memory(chart.states.length, chart.transitions.length);
        stable = new Memory(chart.states.length, chart.transitions.length);
        sets = new StateSets(chart, memory);
        selection = new Selection(chart, memory, sets, this);
        detours = new Detours(chart, memory);
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
        complete();
    }

    /** Takes an event from outside; {@code began} is when it began, {@code now} when it is known. */
    public void event(int number, long eventBegan, long now) {
        if (!running) {
            return;
        }
        begin(number, eventBegan, now);
        react(number);
        complete();
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
        if (running) {
            for (long due : memory.due) {
                next = Math.min(next, due);
            }
            for (int i = 0; i < memory.detourCount; i++) {
                next = Math.min(next, memory.detourDue[memory.detours[i]]);
            }
        }
        return next;
    }

    /** Ends all detours that gestures of a pedal unit began, since they cannot end them any more. */
    public void endDetoursOf(String pedal, long now) {
        begin(NONE, now, now);
        for (int t = detours.newestOf(pedal); t >= 0 && running; t = detours.newestOf(pedal)) {
            endDetour(t);
        }
        complete();
    }

    /** Whether an active state, or an open detour, is bound to that gesture by its full name. */
    public boolean isBound(int gesture) {
        if (boundIsStale) {
            boundIsStale = false;
            bound.clear();
            for (int s = memory.active.nextSetBit(0); s >= 0; s = memory.active.nextSetBit(s + 1)) {
                bound.or(chart.boundGestures[s]);
            }
            for (int i = 0; i < memory.detourCount; i++) {
                bound.or(chart.untilGestures[memory.detours[i]]);
            }
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

    /** Counts takes on from that number; before the start. */
    public void countTakesFrom(long last) {
        memory.take = last;
    }

    @Override
    public @Nullable Object value(String name) {
        return switch (name) {
            case "take" -> memory.take;
            case "chapter" -> memory.chapter;
            case "angle" -> chart.angleName(memory.onAir);
            default -> memory.data.containsKey(name) ? memory.data.get(name) : outside.value(name);
        };
    }

    private void begin(int number, long eventBegan, long now) {
        event = number;
        began = eventBegan;
        at = now;
        firing = NONE;
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
        if (!returned && selection.select(number)) {
            microstep();
        }
    }

    private void fire(long due) {
        for (int i = 0; i < memory.detourCount; i++) {
            if (memory.detourDue[memory.detours[i]] == due) {
                endDetour(memory.detours[i]);
                return;
            }
        }
        for (int t = 0; t < memory.due.length; t++) {
            if (memory.due[t] == due) {
                memory.due[t] = Memory.NEVER;
                selection.begin();
                // The condition of a transition with an event was asked at the event; without one, it is asked now.
                if (!chart.transitions[t].events().isEmpty() || selection.holds(chart.transitions[t].cond())) {
                    firing = t;
                    selection.only(t);
                    microstep();
                    firing = NONE;
                }
                return;
            }
        }
    }

    /** Runs to completion: eventless transitions first, then events of its own making. */
    private void complete() {
        for (int steps = 0; running && runOn(); steps++) {
            if (steps == MOST_STEPS) {
                effects.fault("the machine runs in a circle at '" + innermost() + "' and was set back", at);
                memory.copyFrom(stable);
                queue.clear();
                break;
            }
        }
        settleOnAir();
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
        event = queue.poll();
        react(event);
        return true;
    }

    private String innermost() {
        return chart.states[memory.active.length() - 1].name();
    }

    private void microstep() {
        boundIsStale = true;
        exits.clear();
        for (int i = 0; i < selection.count(); i++) {
            int t = selection.get(i);
            int domain = isDeferred(t) ? NONE : sets.domain(t);
            if (domain >= 0) {
                sets.addExits(domain, exits);
            }
        }
        detours.save(selection, exits);
        sets.remember(exits);
        leave();
        for (int i = 0; i < selection.count(); i++) {
            run(selection.get(i));
        }
        entries.clear();
        for (int i = 0; i < selection.count(); i++) {
            int t = selection.get(i);
            if (!isDeferred(t) && chart.targets[t].length > 0) {
                sets.addEntries(chart.targets[t], sets.domain(t), entries);
            }
        }
        enter();
        for (int i = 0; i < selection.count(); i++) {
            setAngle(selection.get(i));
        }
        forgetDeadDetours();
    }

    private boolean isDeferred(int t) {
        return t != firing && chart.transitions[t].afterNanos() >= 0;
    }

    private void run(int t) {
        TransitionNode node = chart.transitions[t];
        if (isDeferred(t)) {
            memory.due[t] = at + node.afterNanos();
            return;
        }
        effects.taken(t, false, began, at);
        perform(node.actions());
        if (node.isDetour()) {
            memory.open(t);
            memory.detourEvent[t] = event;
            memory.detourDue[t] = node.untilNanos() < 0 ? Memory.NEVER : began + node.untilNanos();
        }
    }

    private void setAngle(int t) {
        int angle = chart.transitionAngle[t];
        if (angle >= 0 && !chart.transitions[t].isDetour() && !isDeferred(t)) {
            int state = chart.targets[t].length > 0 ? chart.targets[t][0] : chart.source[t];
            memory.base[state] = angle;
            memory.baseOrder[state] = ++memory.order;
        }
    }

    /** Returns whether the end of the detour moved the machine. */
    private boolean endDetour(int t) {
        boundIsStale = true;
        effects.taken(t, true, began, at);
        boolean moves = chart.targets[t].length > 0 && detours.isReturnDue(t);
        if (moves) {
            int domain = memory.detourDomain[t];
            memory.close(t);
            exits.clear();
            sets.addExits(domain, exits);
            sets.remember(exits);
            leave();
            entries.clear();
            sets.addEntries(memory.detourReturn[t], domain, entries);
            returning = true;
            enter();
            returning = false;
        } else {
            detours.bequeath(t);
            memory.close(t);
        }
        forgetDeadDetours();
        return moves;
    }

    private void forgetDeadDetours() {
        for (int t = detours.newestDead(); t >= 0; t = detours.newestDead()) {
            memory.close(t);
            effects.taken(t, true, began, at);
        }
    }

    private void leave() {
        for (int s = exits.length() - 1; s >= 0; s = exits.previousSetBit(s - 1)) {
            perform(chart.states[s].onExit());
            memory.active.clear(s);
            for (int t : chart.transitionsOf[s]) {
                memory.due[t] = Memory.NEVER;
            }
            effects.left(s, began, at);
            if (chart.states[s].rolling() && --memory.rolling == 0) {
                effects.takeClosed(memory.take, began, at);
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
        // A return brings back the angle of before, at its old place in the order: what was held above it still is.
        if (!returning || memory.base[s] < 0) {
            memory.base[s] = chart.angle[s];
            memory.baseOrder[s] = ++memory.order;
        }
        if (node.rolling() && memory.rolling++ == 0) {
            memory.take++;
            memory.chapter = 0;
            effects.takeOpened(memory.take, began, at);
        }
        effects.entered(s, began, at);
        perform(node.onEntry());
        for (int t : chart.transitionsOf[s]) {
            TransitionNode transition = chart.transitions[t];
            if (transition.events().isEmpty() && transition.afterNanos() >= 0) {
                memory.due[t] = at + transition.afterNanos();
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
            sets.addExits(0, exits);
            leave();
            return;
        }
        queue.add(chart.doneEvent[above]);
        int around = chart.parent[above];
        if (chart.isParallel(around) && sets.isInFinalState(around)) {
            queue.add(chart.doneEvent[around]);
        }
    }

    private void perform(java.util.List<Action> actions) {
        for (int i = 0; i < actions.size(); i++) {
            perform(actions.get(i));
        }
    }

    private void perform(Action action) {
        if (action instanceof Action.Send send) {
            effects.send(chart.message(send.message()), this, began, at);
        } else if (action instanceof Action.Mark mark) {
            if (mark.kind().equals("chapter")) {
                memory.chapter++;
            }
            Template text = mark.text();
            effects.mark(mark.kind(), text == null ? null : text.render(this, Template.Escape.NONE), began, at);
        } else if (action instanceof Action.Set set) {
            memory.data.put(set.name(), assigned(set));
        } else if (action instanceof Action.Raise raise) {
            queue.add(chart.event(raise.event()));
        }
    }

    private Object assigned(Action.Set set) {
        Action.Assignment to = set.to();
        if (to instanceof Action.Assignment.Constant constant) {
            return constant.value();
        } else if (to instanceof Action.Assignment.Add add) {
            return (value(set.name()) instanceof Long number ? number : 0L) + add.amount();
        }
        return ((Action.Assignment.Text) to).template().render(this, Template.Escape.NONE);
    }

    /** The newest act wins that still stands: a detour that is open, or an angle that was set in a state that is active. */
    private void settleOnAir() {
        int angle = NONE;
        long newest = Long.MIN_VALUE;
        for (int s = memory.active.nextSetBit(0); s >= 0; s = memory.active.nextSetBit(s + 1)) {
            if (memory.base[s] >= 0 && memory.baseOrder[s] > newest) {
                newest = memory.baseOrder[s];
                angle = memory.base[s];
            }
        }
        for (int i = 0; i < memory.detourCount; i++) {
            int t = memory.detours[i];
            if (chart.transitionAngle[t] >= 0 && memory.detourOrder[t] > newest) {
                newest = memory.detourOrder[t];
                angle = chart.transitionAngle[t];
            }
        }
        if (angle != memory.onAir) {
            memory.onAir = angle;
            if (angle >= 0) {
                effects.cut(angle, began, at);
            }
        }
    }
}
