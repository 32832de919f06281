package instep.cutlist;

/**
 * A piece of a source on a timeline, of straight timecode.
 *
 * @param in the first frame of the source, as the take counts; {@link Timeline#labelledIn} is that of its label
 * @param out the frame after the last
 * @param record where it begins on the timeline, counted from the timeline's beginning
 */
public record Clip(Source source, long in, long out, long record) {
    /** How many frames it has, in the source and on the timeline. */
    public long frames() {
        return out - in;
    }

    /** Where it ends on the timeline. */
    public long recordOut() {
        return record + frames();
    }
}
