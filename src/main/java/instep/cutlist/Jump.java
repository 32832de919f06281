package instep.cutlist;

/**
 * A place in a take at which its timecode goes elsewhere.
 *
 * @param frame the first frame with the new labels; as all frames of a take, counted as if nothing had jumped
 * @param by by how many frames the labels go on (back: negative)
 */
public record Jump(long frame, long by) {}
