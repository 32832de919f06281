package instep.gesture;

import static instep.gesture.Recognizer.NEVER;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.Comparator;
import java.util.List;

/**
 * The third layer: closings and openings of one contact or chord to gestures.
 *
 * <pre>
 * P closed, R opened, --| the hold threshold, ..| the double-tap window
 *
 * P R            press, release, tap                    where no double-tap is wanted
 * P R..|         press, release, (window) tap           where it is; the tap has begun at P
 * P R P R        press, release, press double-tap, release
 * P R P R..|     press, release, press, release, (window) double-tap     where a triple-tap is wanted, too
 * P R P R..|     press, release, press, release, (window) tap tap        where a triple-tap is wanted, but no double-tap
 * P R P R P R    press, release, press, release, press triple-tap, release
 * P --| R        press, hold, release, hold-end
 * P R P --| R    press, release, press double-tap, hold, release, hold-end
 * P (lost)       press, release                         a pulled plug is no tap
 * P P            press latch-on, press latch-off        each press is one or the other; after a loss the next is latch-on
 * </pre>
 */
final class Tracker {
    private final Recognizer.Wants wants;
    private final Recognizer.Sink sink;
    private final int first;
    private final long window;
    /** Thresholds, rising, with the gestures that they make. */
    private final long[] holdNanos;

    private final int[] holdGestures;

    private boolean closed;
    private long closedAt;
    private boolean held;
    private int nextHold;
    private boolean latched;
    /** Closings in a row that may still become a double or triple tap. */
    private int taps;

    private long tapsBegan;
    private long windowEnds = NEVER;

    Tracker(Gestures gestures, int source, Timing timing, Recognizer.Wants wants, Recognizer.Sink sink) {
        this.wants = wants;
        this.sink = sink;
        first = gestures.number(source, GestureKind.PRESS);
        window = timing.doubleTap();
        long[][] holds = holds(gestures, source, timing);
        holdNanos = Arrays.stream(holds).mapToLong(h -> h[0]).toArray();
        holdGestures = Arrays.stream(holds).mapToInt(h -> (int) h[1]).toArray();
    }

    private static long[][] holds(Gestures gestures, int source, Timing timing) {
        List<long[]> holds = new ArrayList<>();
        holds.add(new long[] {timing.hold(), gestures.number(source, GestureKind.HOLD)});
        for (int i = 0; i < gestures.namedHolds().size(); i++) {
            Gestures.NamedHold named = gestures.namedHolds().get(i);
            if (named.source() == source) {
                holds.add(new long[] {named.nanos(), gestures.numberOfNamedHold(i)});
            }
        }
        holds.sort(Comparator.comparingLong(h -> h[0]));
        return holds.toArray(long[][]::new);
    }

    /** Goes on where another stands; thresholds that have passed by now make no hold any more. */
    void goOnFrom(Tracker other, long now) {
        closed = other.closed;
        closedAt = other.closedAt;
        held = other.held;
        latched = other.latched;
        taps = other.taps;
        tapsBegan = other.tapsBegan;
        windowEnds = other.windowEnds;
        nextHold = 0;
        while (closed && nextHold < holdNanos.length && Recognizer.later(closedAt, holdNanos[nextHold]) <= now) {
            nextHold++;
        }
    }

    boolean isClosed() {
        return closed;
    }

    boolean isLatched() {
        return latched;
    }

    void latch() {
        latched = true;
    }

    boolean wantsNamedHold() {
        for (int gesture : holdGestures) {
            if (wants.wants(gesture)) {
                return true;
            }
        }
        return false;
    }

    /** Its device is gone: no further closing will come to what waits for one, and the row of latches begins anew. */
    void forget(long at) {
        latched = false;
        if (windowEnds != NEVER) {
            settleTaps(at);
        }
    }

    void closed(long began, long at) {
        countClosing(began, at);
        closed = true;
        closedAt = began;
        held = false;
        nextHold = 0;
        emit(GestureKind.PRESS, began, at);
        latched = !latched;
        emit(latched ? GestureKind.LATCH_ON : GestureKind.LATCH_OFF, began, at);
        if (taps == 2 && !wants(GestureKind.TRIPLE_TAP)) {
            endTaps();
            emit(GestureKind.DOUBLE_TAP, tapsBegan, at);
        } else if (taps == 3) {
            endTaps();
            emit(GestureKind.TRIPLE_TAP, tapsBegan, at);
        }
    }

    /** The window of an earlier tap is still open, or a new row begins. */
    private void countClosing(long began, long at) {
        if ((taps == 1 && !wantsMoreThanOne()) || (taps == 2 && !wants(GestureKind.TRIPLE_TAP))) {
            settleTaps(at);
        }
        if (taps == 0) {
            tapsBegan = began;
        }
        taps++;
        windowEnds = NEVER;
    }

    void opened(boolean lost, long began, long at) {
        closed = false;
        emit(GestureKind.RELEASE, began, at);
        if (held) {
            emit(GestureKind.HOLD_END, began, at);
        }
        if (lost) {
            breakRow(at);
        } else if (!held && taps > 0) {
            tapped(began, at);
        }
    }

    private void tapped(long began, long at) {
        boolean more = taps == 1 ? wantsMoreThanOne() : wants(GestureKind.TRIPLE_TAP);
        long ends = Recognizer.later(began, window);
        if (more && ends > at) {
            windowEnds = ends;
        } else {
            settleTaps(at);
        }
    }

    /** No further closing will count: what there is becomes a tap, a double tap, or two taps where only three would be more. */
    private void settleTaps(long at) {
        int count = taps;
        endTaps();
        if (count == 2 && wants(GestureKind.DOUBLE_TAP)) {
            emit(GestureKind.DOUBLE_TAP, tapsBegan, at);
        } else if (count > 0) {
            emit(GestureKind.TAP, tapsBegan, at);
            if (count == 2) {
                emit(GestureKind.TAP, closedAt, at);
            }
        }
    }

    /** The last closing is no tap, but it may have been the second of a double tap. */
    private void breakRow(long at) {
        int count = taps;
        endTaps();
        if (count == 2) {
            emit(wants(GestureKind.DOUBLE_TAP) ? GestureKind.DOUBLE_TAP : GestureKind.TAP, tapsBegan, at);
        }
    }

    private void endTaps() {
        taps = 0;
        windowEnds = NEVER;
    }

    long deadline() {
        return Math.min(windowEnds, holdDue());
    }

    private long holdDue() {
        return closed && nextHold < holdNanos.length ? Recognizer.later(closedAt, holdNanos[nextHold]) : NEVER;
    }

    void timedOut(long at) {
        if (windowEnds != NEVER) {
            settleTaps(at);
        } else {
            holdReached(at);
        }
    }

    private void holdReached(long at) {
        int gesture = holdGestures[nextHold++];
        // The contact's own threshold always parts a hold from a tap; a shorter one does where it is bound.
        if (gesture == first + GestureKind.HOLD.number() || wants.wants(gesture)) {
            held = true;
            breakRow(at);
        }
        sink.gesture(gesture, closedAt, at);
    }

    private boolean wantsMoreThanOne() {
        return wants(GestureKind.DOUBLE_TAP) || wants(GestureKind.TRIPLE_TAP);
    }

    private boolean wants(GestureKind kind) {
        return wants.wants(first + kind.number());
    }

    private void emit(GestureKind kind, long began, long at) {
        sink.gesture(first + kind.number(), began, at);
    }
}
