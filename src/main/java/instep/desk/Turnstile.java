package instep.desk;

/** How often the token may be wrong: ten times at once, and then once in two seconds, whoever tries. Not thread-safe. */
final class Turnstile {
    static final int AT_ONCE = 10;
    static final long NANOS_EACH = 2_000_000_000L;

    /** When all tries will be given back. */
    private long settled = Long.MIN_VALUE;

    /** Whether a token may be tried at that instant. */
    boolean admits(long nanos) {
        return settled - nanos <= (AT_ONCE - 1) * NANOS_EACH || settled < nanos;
    }

    /** It was wrong. */
    void wrong(long nanos) {
        settled = Math.max(settled, nanos) + NANOS_EACH;
    }
}
