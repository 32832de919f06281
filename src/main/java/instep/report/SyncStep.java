package instep.report;

/**
 * A change in what timecode follows.
 *
 * @param frame when, counted on over midnight
 * @param state what has become of it, as in the journal; empty if nothing is said
 */
public record SyncStep(long frame, String source, String state) {}
