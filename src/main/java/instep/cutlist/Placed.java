package instep.cutlist;

/**
 * A mark on a timeline.
 *
 * @param text may be empty
 * @param source the frame of the source
 * @param record the frame of the timeline, counted from its beginning
 * @param frames how long it lasts; 0 for a point
 * @param clip which of the timeline's clips it stands in
 */
public record Placed(String name, String text, long source, long record, long frames, int clip) {}
