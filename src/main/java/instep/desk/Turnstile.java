package instep.desk;

/**
 * How quickly tokens are looked at: at once, until ten were wrong, and then, unless one is tried in two seconds at most, each after a while in which it waits. So guessing is slow, and whoever knows the
 * token gets in all the same, whatever others try. Not thread-safe.
 */
final class Turnstile {
    static final int AT_ONCE = 10;
    static final long NANOS_EACH = 2_000_000_000L;
    /** More would have room for guesses, and take that of others. */
    static final int MOST_WAITING = 16;

    /** When all tries will be given back. */
    private long settled = Long.MIN_VALUE;

    private int waiting;

    /** Whether a token may be tried at that instant without waiting. */
    boolean admits(long nanos) {
        return settled - nanos <= (AT_ONCE - 1) * NANOS_EACH || settled < nanos;
    }

    /** It was wrong; what was wrong after it had waited makes nobody wait for longer. */
    void wrong(long nanos) {
        settled = Math.min(Math.max(settled, nanos) + NANOS_EACH, nanos + AT_ONCE * NANOS_EACH);
    }

    /** One more wants to wait; false if too many do. */
    boolean waits() {
        if (waiting >= MOST_WAITING) {
            return false;
        }
        waiting++;
        return true;
    }

    /** One waits no longer. */
    void waited() {
        waiting--;
    }
}
