package instep.cutlist;

/**
 * A stretch of a take about which a refinement has something to say.
 *
 * @param why the refinement
 * @param in the first frame of the source
 * @param out the frame after the last
 * @param dropped whether the programme leaves it out
 * @param decidedIn where it began before its ends were moved to pauses
 * @param decidedOut where it ended then
 */
public record Passage(String why, long in, long out, boolean dropped, long decidedIn, long decidedOut) {
    public Passage {
        if (out <= in) {
            throw new IllegalArgumentException("a passage has at least one frame: " + in + " to " + out);
        }
    }

    /** One whose ends stay where they were decided. */
    public Passage(String why, long in, long out, boolean dropped) {
        this(why, in, out, dropped, in, out);
    }

    /** How many frames it has. */
    public long frames() {
        return out - in;
    }

    /** How many of its ends were moved. */
    public int moved() {
        return (in == decidedIn ? 0 : 1) + (out == decidedOut ? 0 : 1);
    }

    /** Whether it was decided because of a mark at that frame, or has one within. */
    boolean settles(long mark) {
        return decidedIn < mark && mark <= decidedOut;
    }
}
