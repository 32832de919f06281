package instep.daemon;

/** The latest numbers under which gear was told something: when each was decided, and which are cuts. Allocates nothing after construction. */
final class Tickets {
    /** Nothing is known of that number any more. */
    static final long FORGOTTEN = Long.MIN_VALUE;

    private static final int KEPT = 256;

    private final long[] numbers = new long[KEPT];
    private final long[] decided = new long[KEPT];
    private final long[] cuts = new long[KEPT];

    /** Something was decided at that time, and is in the record of that number. */
    void issue(long number, long at) {
        numbers[(int) (number % KEPT)] = number;
        decided[(int) (number % KEPT)] = at;
    }

    /** What is told under that number puts an angle on air. */
    void markCut(long number) {
        cuts[(int) (number % KEPT)] = number;
    }

    boolean isCut(long number) {
        return number > 0 && cuts[(int) (number % KEPT)] == number;
    }

    /** When it was decided; {@link #FORGOTTEN} if it was long ago, or nobody asked. */
    long decidedAt(long number) {
        return number >= 0 && numbers[(int) (number % KEPT)] == number ? decided[(int) (number % KEPT)] : FORGOTTEN;
    }
}
