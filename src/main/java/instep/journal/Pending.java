package instep.journal;

/**
 * A happening with its number and time, on its way from the loop to the writer.
 *
 * @param wall nanoseconds since 1970-01-01T00:00:00Z: what the clock showed is settled when it happens, whenever that is written
 */
record Pending(long seq, long mono, long wall, long frame, Happening what) {
    /** One whose time of day is known otherwise, or not asked for. */
    Pending(long seq, long mono, long frame, Happening what) {
        this(seq, mono, 0, frame, what);
    }
}
