package instep.after;

import instep.cutlist.Take;
import instep.time.FrameRate;

/**
 * A take with what held while it was recorded.
 *
 * @param day on which it began
 * @param timecode where its timecode came from
 * @param config the text of the configuration that was in force when it began; empty if the journal has none
 * @param file the name of that
 */
public record RecordedTake(Take take, FrameRate rate, String day, String timecode, String config, String file) {}
