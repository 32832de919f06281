package instep.journal;

/** Somebody who sees each record when the file has it, or when it is known that the disk does not take it now. Called on the journal's thread, which waits for it. */
public interface Watch {
    /** Nobody. */
    Watch NOBODY = new Watch() {
        @Override
        public void saw(long mono, long frame, Happening what) {
            // Nobody looks.
        }

        @Override
        public void caughtUp() {
            // Nobody looks.
        }
    };

    /**
     * The next record, before its line is in the event log.
     *
     * @param mono its monotonic instant
     * @param frame its frame, counted on over midnight
     */
    void saw(long mono, long frame, Happening what);

    /** All records that there are have been seen, for now. */
    void caughtUp();

    /** After how many nanoseconds that is to be said again, though there is no record more; {@link Long#MAX_VALUE}: not without one. Asked after it was said. */
    default long patience() {
        return Long.MAX_VALUE;
    }

    /** The disk does not take records any more, as the sentence says. Returns whether that becomes a record, which the event log shows in its turn. */
    default boolean failing(String sentence) {
        return false;
    }

    /** It takes them again, and has those that were kept in memory. Returns whether that becomes a record. */
    default boolean back(String sentence) {
        return false;
    }
}
