package instep.journal;

/** Where happenings are written down, in the order in which they are noted. For one thread. */
public interface Records {
    /**
     * Takes note of what happened at a monotonic instant.
     *
     * @param frame the frame at that instant, counted on over midnight
     * @return the number of the record, by which later ones can name it as their cause
     */
    long append(long mono, long frame, Happening what);

    /** Hands over what was noted; to be called once at the end of each turn of the loop. */
    void flush();
}
