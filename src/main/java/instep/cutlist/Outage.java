package instep.cutlist;

/**
 * A stretch of a take in which nothing was running that could have told of it: the program had ended, and went on with the take later.
 *
 * @param in the first frame of which nothing is known, counted on over midnight
 * @param out the frame in which the take went on
 */
public record Outage(long in, long out) {
    public Outage {
        if (out < in) {
            throw new IllegalArgumentException("an outage from " + in + " to " + out);
        }
    }

    /** How many frames it has. */
    public long frames() {
        return out - in;
    }
}
