package instep.gesture;

/**
 * When a contact that has positions is closed: beyond one position, until it is back over another. Between the two it keeps its level,
 * so that a foot which trembles is one press. Positions are shares of the whole way, from 0 to 1.
 *
 * @param press where it closes: above, if that lies above {@code release}, else below
 * @param release where it opens again
 */
public record Threshold(double press, double release) {
    /** What holds where a configuration says nothing. */
    public static final Threshold DEFAULT = new Threshold(0.6, 0.4);

    public Threshold {
        if (!(isInside(press) && isInside(release) && press != release)) {
            throw new IllegalArgumentException("thresholds that are the same or at an end of the way");
        }
    }

    /** Whether the contact is closed at a position. */
    public boolean closed(boolean before, double share) {
        if (press > release) {
            return before ? !(share < release) : share > press;
        }
        return before ? !(share > release) : share < press;
    }

    private static boolean isInside(double share) {
        return share > 0 && share < 1;
    }
}
