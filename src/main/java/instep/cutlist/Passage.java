package instep.cutlist;

/**
 * A stretch of a take about which a refinement has something to say.
 *
 * @param why the refinement
 * @param in the first frame of the source
 * @param out the frame after the last
 * @param dropped whether the programme leaves it out
 */
public record Passage(String why, long in, long out, boolean dropped) {
    public Passage {
        if (out <= in) {
            throw new IllegalArgumentException("a passage has at least one frame: " + in + " to " + out);
        }
    }

    /** How many frames it has. */
    public long frames() {
        return out - in;
    }
}
