package instep.journal;

/** A happening with its number and time, on its way from the loop to the writer. */
record Pending(long seq, long mono, long frame, Happening what) {}
