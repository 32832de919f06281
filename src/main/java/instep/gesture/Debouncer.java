package instep.gesture;

import static instep.gesture.Recognizer.NEVER;

/**
 * The first layer: a contact's raw level to the level that counts.
 *
 * <pre>
 * C closing, O opening, [..] the debounce window, g the lift grace
 *
 * C[O C O C]          closed at the first C
 * C[O C O  ]          closed at C, opened at the end of the window: it settles on the level it has then
 * C   O[C O]          closed at C, opened at O
 * C   O g C           closed at C; the opening is forgotten
 * C   O g             closed at C; opened g later, begun at O
 * C   O[g C]          closed at C; the opening is forgotten: a grace shorter than the window lasts as long as it
 * C   (lost)          closed at C; opened at once
 * </pre>
 */
final class Debouncer {
    private final int contact;
    private final Timing timing;
    private final Chords next;

    private boolean rawClosed;
    private long rawChanged;
    private boolean closed;
    private long windowEnds = Long.MIN_VALUE;
    private boolean unsettled;
    private long graceEnds = NEVER;
    private long opened;

    Debouncer(int contact, Timing timing, Chords next) {
        this.contact = contact;
        this.timing = timing;
        this.next = next;
    }

    /** Goes on where another stands, whose contact this is from now on. */
    void goOnFrom(Debouncer other) {
        rawClosed = other.rawClosed;
        rawChanged = other.rawChanged;
        closed = other.closed;
        windowEnds = other.windowEnds;
        unsettled = other.unsettled;
        graceEnds = other.graceEnds;
        opened = other.opened;
    }

    void edge(boolean rawLevel, boolean lost, long at) {
        if (rawLevel != rawClosed) {
            rawChanged = at;
        }
        rawClosed = rawLevel;
        if (lost && !rawLevel) {
            vanish(at);
        } else if (at < windowEnds) {
            unsettled = rawClosed != closed;
        } else if (rawClosed != closed) {
            accept(at, at);
        }
    }

    long deadline() {
        return unsettled ? windowEnds : graceEnds;
    }

    void timedOut(long at) {
        if (unsettled) {
            accept(rawChanged, at);
        } else {
            graceEnds = NEVER;
            next.opened(contact, false, opened, at);
        }
    }

    private void accept(long began, long at) {
        unsettled = false;
        closed = rawClosed;
        windowEnds = Recognizer.later(at, timing.debounce());
        if (!closed) {
            open(began, at);
        } else if (graceEnds != NEVER) {
            graceEnds = NEVER;
        } else {
            next.closed(contact, began, at);
        }
    }

    private void open(long began, long at) {
        if (timing.liftGrace() > 0) {
            graceEnds = Math.max(windowEnds, Recognizer.later(began, timing.liftGrace()));
            opened = began;
        } else {
            next.opened(contact, false, began, at);
        }
    }

    /** A device that is gone has no bounce and no grace; what it held opens at once. */
    private void vanish(long at) {
        boolean heldBack = graceEnds != NEVER;
        boolean opens = closed || heldBack;
        closed = false;
        unsettled = false;
        windowEnds = at;
        graceEnds = NEVER;
        if (opens) {
            next.opened(contact, true, heldBack ? opened : at, at);
        }
        next.forget(contact, at);
    }
}
