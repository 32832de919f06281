package instep.report;

/**
 * Something that needed attention during a take.
 *
 * @param frame when, counted on over midnight
 * @param word what sort of thing it is, as in the event log
 * @param gear whose; empty if it is nobody's
 */
public record Trouble(long frame, String word, String gear, String text) {}
