package instep.machine;

import static instep.machine.Chart.NONE;

/** When and why the machine does what it does now. Time does not go back. */
final class Moment {
    /** When what happens now began; never after {@link #at}. */
    long began;
    /** When the machine knew. */
    long at = Long.MIN_VALUE;
    /** The event from outside that all this follows from; none: a time that came. */
    int cause = NONE;

    void set(int newCause, long newBegan, long now) {
        cause = newCause;
        at = Math.max(at, now);
        began = Math.min(newBegan, at);
    }

    /** So much later, or never if time does not reach so far. */
    static long later(long from, long nanos) {
        long due = from + nanos;
        return due < from ? Memory.NEVER : due;
    }
}
