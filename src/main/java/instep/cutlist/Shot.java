package instep.cutlist;

/**
 * An angle on air without a break within a take.
 *
 * @param angle empty if the journal does not tell what was on air
 * @param in the first frame
 * @param out the frame after the last
 * @param returning whether it began because a detour ended
 */
public record Shot(long take, String angle, long in, long out, boolean returning) {
    public Shot {
        if (out <= in) {
            throw new IllegalArgumentException("a shot has at least one frame: " + in + " to " + out);
        }
    }

    /** A shot that did not begin with a return. */
    public Shot(long take, String angle, long in, long out) {
        this(take, angle, in, out, false);
    }

    /** How many frames it has. */
    public long frames() {
        return out - in;
    }
}
