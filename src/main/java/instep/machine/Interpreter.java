package instep.machine;

import instep.gesture.Contact;
import instep.gesture.GestureKind;
import instep.gesture.Gestures;
import instep.gesture.Recognizer;
import java.util.ArrayList;
import java.util.List;
import java.util.Objects;

/**
 * The whole core as one function of time: edges and events in, gestures and effects out. What is due before an edge runs before it, in the order of
 * time. Not thread-safe.
 */
public final class Interpreter {
    private final Chart chart;
    private final Machine machine;
    private final Recognizer recognizer;
    private final List<Contact> contacts;
    private long now = Long.MIN_VALUE;
    /** A foot has moved since that was asked. */
    private boolean hasMoved;

    /**
     * An interpreter that has not begun.
     *
     * @param outside values that the machine does not know itself
     * @param gestures told of every gesture that something in the chart listens to, before the machine is
     */
    public Interpreter(Chart chart, Values outside, Effects effects, Recognizer.Sink gestures) {
        this.chart = chart;
        contacts = chart.gestures().contacts();
        machine = new Machine(chart, outside, effects);
        recognizer = new Recognizer(chart.gestures(), machine::isBound, (gesture, began, at) -> {
            hasMoved = true;
            if (chart.isHeard(gesture)) {
                gestures.gesture(gesture, began, at);
                machine.event(gesture, began, at);
            }
        });
    }

    /** Enters the initial states. */
    public void start(long nanos) {
        now = Math.max(now, nanos);
        machine.start(now);
    }

    /** Begins in an open take, where another machine stood: see {@link Machine#resume}. */
    public void resume(Whereabouts standing, long nanos) {
        now = Math.max(now, nanos);
        for (int source = 0; source < chart.gestures().sources(); source++) {
            if (standing.latched().contains(chart.gestures().sourceName(source))) {
                recognizer.latch(source);
            }
        }
        machine.resume(standing, now);
    }

    /** Where the machine stands once no foot is on any pedal: see {@link Machine#resume}. */
    public Whereabouts standing() {
        Gestures gestures = chart.gestures();
        List<String> latched = new ArrayList<>();
        for (int source = 0; source < gestures.sources(); source++) {
            if (recognizer.isLatched(source) && hearsLatch(source)) {
                latched.add(gestures.sourceName(source));
            }
        }
        return machine.standing(recognizer::isClosed, latched);
    }

    private boolean hearsLatch(int source) {
        return chart.isHeard(chart.gestures().number(source, GestureKind.LATCH_ON))
                || chart.isHeard(chart.gestures().number(source, GestureKind.LATCH_OFF));
    }

    /** Whether feet did something since that was asked last, so that {@link #standing} may have changed though the machine did nothing. */
    public boolean hasMoved() {
        boolean moved = hasMoved;
        hasMoved = false;
        return moved;
    }

    /** Whether no gesture is half made: a good moment for {@link #makeWayFor}. */
    public boolean isBetweenGestures() {
        return recognizer.nextDeadline() == Recognizer.NEVER;
    }

    /**
     * Makes way for an interpreter of another chart: ends the detours that cannot go on there and leaves the states that are not there. Must not be used
     * after that but for {@link #goOnFrom}.
     *
     * @param gone pedal units whose contacts count as open from now on
     */
    public Succession makeWayFor(Chart next, List<String> gone, long nanos) {
        advanceTo(nanos);
        return machine.makeWayFor(next, gone, now);
    }

    /**
     * Begins where another has made way for this one.
     *
     * @param theirs by contact: its number there; negative: it was not there, and is open
     */
    public void goOnFrom(Interpreter other, Succession succession, int[] theirs) {
        now = Math.max(now, other.now);
        recognizer.goOnFrom(other.recognizer, theirs);
        machine.goOnFrom(other.machine, succession, now);
    }

    /**
     * A contact closed or opened. An edge older than what was already decided counts as of now: time does not go back.
     *
     * @param lost whether its device vanished
     * @throws IndexOutOfBoundsException if there is no such contact; nothing has changed then
     */
    public void edge(int contact, boolean closed, boolean lost, long nanos) {
        Objects.checkIndex(contact, contacts.size());
        advanceTo(nanos);
        recognizer.edge(contact, closed, lost, now);
    }

    /**
     * An event from outside that is no gesture, by its number in the chart; -1 is heard by nobody.
     *
     * @throws IndexOutOfBoundsException if there is no such event; nothing has changed then
     */
    public void event(int event, long nanos) {
        Objects.checkIndex(event + 1, chart.eventCount() + 1);
        advanceTo(nanos);
        if (event >= 0) {
            machine.event(event, now, now);
        }
    }

    /** Somebody else put that angle on air, and the machine follows: see {@link Machine#cutByOther}. */
    public void cutByOther(int angle, long nanos) {
        advanceTo(nanos);
        machine.cutByOther(angle, now);
    }

    /** Gives a variable what gear said; false if it cannot be that. */
    public boolean assign(int variable, String text, long nanos) {
        advanceTo(nanos);
        return machine.assign(variable, text, now);
    }

    /** A pedal unit vanished: its contacts open, and the detours that they began, or that only they could end, end. */
    public void pedalLost(String pedal, long nanos) {
        hasMoved = true;
        for (int contact = 0; contact < contacts.size(); contact++) {
            if (contacts.get(contact).pedal().equals(pedal)) {
                edge(contact, false, true, nanos);
            }
        }
        advanceTo(nanos);
        machine.endDetoursOf(pedal, now);
        event(chart.event(pedal + ".lost"), nanos);
    }

    /** Runs all that is due up to and including that time; among equals, gestures come first. */
    public void advanceTo(long nanos) {
        long until = Math.max(now, nanos);
        for (long due = nextDeadline(); due <= until && due != Recognizer.NEVER; due = nextDeadline()) {
            now = due;
            if (recognizer.nextDeadline() <= due) {
                recognizer.advanceTo(due);
            } else {
                machine.advanceTo(due);
            }
        }
        now = until;
    }

    /** When something is due next, never before the time that was told last; {@link Long#MAX_VALUE} if nothing is. */
    public long nextDeadline() {
        return Math.max(now, Math.min(recognizer.nextDeadline(), machine.nextDeadline()));
    }

    /** The machine, to be asked. */
    public Machine machine() {
        return machine;
    }
}
