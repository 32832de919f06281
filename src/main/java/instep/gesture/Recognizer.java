package instep.gesture;

import java.util.List;
import java.util.Objects;

/**
 * Edges in, gestures out. It is told the time and never asks: {@link #advanceTo} runs what is due, {@link #nextDeadline} says when to come
 * back. Deadlines run in the order of their time, and before an edge of the same time. Allocates nothing after construction. Not
 * thread-safe.
 */
public final class Recognizer {
    /** No deadline. */
    public static final long NEVER = Long.MAX_VALUE;

    /** Where gestures go. */
    @FunctionalInterface
    public interface Sink {
        /**
         * A gesture was recognised.
         *
         * @param gesture its number
         * @param began the time of its first edge
         * @param at the time at which it was decided
         */
        void gesture(int gesture, long began, long at);
    }

    /** What is of use at the moment; only that is waited for. */
    @FunctionalInterface
    public interface Wants {
        /** Whether a state that is active now, or a detour that is open now, is bound to that gesture. */
        boolean wants(int gesture);
    }

    private final Gestures gestures;
    private final Debouncer[] debouncers;
    private final Chords chords;
    private final Tracker[] trackers;
    private long now = Long.MIN_VALUE;
    private long earliest = NEVER;
    private boolean earliestIsStale = true;

    public Recognizer(Gestures gestures, Wants wants, Sink sink) {
        this.gestures = gestures;
        trackers = new Tracker[gestures.sources()];
        List<Contact> contacts = gestures.contacts();
        for (int source = 0; source < trackers.length; source++) {
            Timing timing = source < contacts.size() ? contacts.get(source).timing() : chordTiming(gestures, source);
            trackers[source] = new Tracker(gestures, source, timing, wants, sink);
        }
        chords = new Chords(gestures, trackers, wants);
        debouncers = new Debouncer[contacts.size()];
        for (int contact = 0; contact < debouncers.length; contact++) {
            debouncers[contact] = new Debouncer(contact, contacts.get(contact).timing(), chords);
        }
    }

    /** A chord goes by the thresholds of its first member. */
    private static Timing chordTiming(Gestures gestures, int source) {
        int first = gestures.chords()
                .get(source - gestures.contacts().size())
                .members()
                .get(0);
        return gestures.contacts().get(first).timing();
    }

    /**
     * Goes on where another stands, which recognised other gestures of contacts that are in part the same: what is closed stays closed, and what is
     * waited for is waited for. Tells of nothing.
     *
     * @param theirs by contact: its number there; negative: it was not there, and is open
     */
    public void goOnFrom(Recognizer other, int[] theirs) {
        now = Math.max(now, other.now);
        for (int contact = 0; contact < debouncers.length; contact++) {
            if (theirs[contact] >= 0) {
                debouncers[contact].goOnFrom(other.debouncers[theirs[contact]]);
                chords.goOnFrom(other.chords, contact, theirs[contact]);
            }
        }
        for (int source = 0; source < trackers.length; source++) {
            int same = other.gestures.source(gestures.membersOf(source), theirs);
            if (same >= 0) {
                trackers[source].goOnFrom(other.trackers[same], now);
            }
        }
        earliestIsStale = true;
    }

    /**
     * A contact closed or opened. An edge older than what was already decided counts as of now: time does not go back.
     *
     * @param lost whether its device vanished: the contact opens whatever its thresholds say, and that is no tap
     * @throws IndexOutOfBoundsException if there is no such contact; nothing has changed then
     */
    public void edge(int contact, boolean closed, boolean lost, long nanos) {
        Objects.checkIndex(contact, debouncers.length);
        advanceTo(nanos);
        earliestIsStale = true;
        debouncers[contact].edge(closed, lost, now);
    }

    /** Runs all deadlines up to and including that time. */
    public void advanceTo(long nanos) {
        long until = Math.max(now, nanos);
        for (long due = nextDeadline(); due <= until && due != NEVER; due = nextDeadline()) {
            now = due;
            runEarliest();
        }
        now = until;
    }

    /** When the next deadline is, never before the time that was told last; {@link #NEVER} if nothing is awaited. */
    public long nextDeadline() {
        return Math.max(now, earliest());
    }

    /** Whether that contact or chord is closed. */
    public boolean isClosed(int source) {
        return trackers[source].isClosed();
    }

    /** Whether the next press of that contact or chord is a {@code latch-off}. */
    public boolean isLatched(int source) {
        return trackers[source].isLatched();
    }

    /** The next press of that contact or chord is a {@code latch-off}. */
    public void latch(int source) {
        trackers[source].latch();
    }

    /** A threshold may have passed before it was known to count, as when a chord did not come together. */
    private long earliest() {
        if (earliestIsStale) {
            earliestIsStale = false;
            earliest = chords.deadline();
            for (Debouncer debouncer : debouncers) {
                earliest = Math.min(earliest, debouncer.deadline());
            }
            for (Tracker tracker : trackers) {
                earliest = Math.min(earliest, tracker.deadline());
            }
        }
        return earliest;
    }

    /** Exactly one, since it may change the others; the order of the layers decides among equals. */
    private void runEarliest() {
        long due = earliest();
        earliestIsStale = true;
        for (Debouncer debouncer : debouncers) {
            if (debouncer.deadline() == due) {
                debouncer.timedOut(now);
                return;
            }
        }
        if (chords.deadline() == due) {
            chords.timedOut(now);
            return;
        }
        for (Tracker tracker : trackers) {
            if (tracker.deadline() == due) {
                tracker.timedOut(now);
                return;
            }
        }
    }

    /** So much later, or never if time does not reach so far. */
    static long later(long from, long nanos) {
        long due = from + nanos;
        return due < from ? NEVER : due;
    }
}
