package instep.config;

/**
 * Whose own timecode is followed.
 *
 * @param gear its name
 * @param freewheelNanos how long timecode goes on by itself before it counts as lost
 */
public record ReportedTimecodeSettings(String gear, long freewheelNanos) {}
