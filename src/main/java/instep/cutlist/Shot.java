package instep.cutlist;

/**
 * An angle on air without a break within a take.
 *
 * @param angle empty if the journal does not tell what was on air
 * @param in the first frame
 * @param out the frame after the last
 */
public record Shot(long take, String angle, long in, long out) {
    public Shot {
        if (out <= in) {
            throw new IllegalArgumentException("a shot has at least one frame: " + in + " to " + out);
        }
    }

    /** How many frames it has. */
    public long frames() {
        return out - in;
    }
}
