package instep.desk;

import org.jspecify.annotations.Nullable;

/**
 * How quickly tokens are looked at: at once, until ten were wrong, and then, unless one is tried in two seconds at most, each after a while in which it waits, with few others. So guessing is slow, and whoever
 * knows the token gets in all the same. There is one for each address, which takes part in one for all of them: who floods the page from one address takes the places of nobody at another. Not
 * thread-safe.
 */
final class Turnstile {
    static final int AT_ONCE = 10;
    static final long NANOS_EACH = 2_000_000_000L;
    /** More would have room for guesses, and take that of others. */
    static final int MOST_WAITING = 16;
    /** Of these from one address. */
    static final int MOST_WAITING_EACH = 4;

    private final @Nullable Turnstile all;
    private final int mostWaiting;
    /** When all tries will be given back. */
    private long settled = Long.MIN_VALUE;

    private int waiting;

    private Turnstile(@Nullable Turnstile all, int mostWaiting) {
        this.all = all;
        this.mostWaiting = mostWaiting;
    }

    /** That of all addresses together. */
    static Turnstile ofAll() {
        return new Turnstile(null, MOST_WAITING);
    }

    /** That of one address, which takes part in this one. */
    Turnstile ofOne() {
        return new Turnstile(this, MOST_WAITING_EACH);
    }

    /** Whether a token may be tried at that instant without waiting. */
    boolean admits(long nanos) {
        return (settled - nanos <= (AT_ONCE - 1) * NANOS_EACH || settled < nanos) && (all == null || all.admits(nanos));
    }

    /** It was wrong; what was wrong after it had waited makes nobody wait for longer. */
    void wrong(long nanos) {
        settled = Math.min(Math.max(settled, nanos) + NANOS_EACH, nanos + AT_ONCE * NANOS_EACH);
        if (all != null) {
            all.wrong(nanos);
        }
    }

    /** One more wants to wait; false if too many do. */
    boolean waits() {
        if (waiting >= mostWaiting || (all != null && !all.waits())) {
            return false;
        }
        waiting++;
        return true;
    }

    /** One waits no longer. */
    void waited() {
        waiting--;
        if (all != null) {
            all.waited();
        }
    }
}
