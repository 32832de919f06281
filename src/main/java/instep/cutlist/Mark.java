package instep.cutlist;

/**
 * A mark that was set during a take.
 *
 * @param name its kind, such as {@code retake} or {@code chapter}
 * @param text may be empty
 * @param frame where it stands in the source, counted on over midnight
 */
public record Mark(String name, String text, long frame) {
    /** The kind of mark that says: from the last clean point to here it went wrong. */
    public static final String RETAKE = "retake";
    /** The kind of mark that begins a chapter. */
    public static final String CHAPTER = "chapter";
    /** The kind of mark that says: up to here all is well. */
    public static final String CLEAN = "clean";
}
