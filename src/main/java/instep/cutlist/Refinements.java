package instep.cutlist;

/**
 * What is to be made better in what the foot decided; lengths are in frames, and 0 leaves a thing as it is.
 *
 * @param leadGoing so much earlier comes a cut to another angle
 * @param leadReturning so much earlier comes a cut that ends a detour
 * @param minimumShot what is shorter is joined to what was there before it
 * @param mergeWithin an angle to which the foot comes back within so much was never left
 * @param head so much is left out at the beginning of the take
 * @param tail so much is left out at its end
 */
public record Refinements(
        long leadGoing, long leadReturning, long minimumShot, long mergeWithin, Retake retake, long head, long tail) {
    /** All is left as it is. */
    public static final Refinements NONE = new Refinements(0, 0, 0, 0, Retake.NONE, 0, 0);

    public Refinements {
        if (Math.min(Math.min(leadGoing, leadReturning), Math.min(minimumShot, mergeWithin)) < 0
                || Math.min(head, tail) < 0) {
            throw new IllegalArgumentException("a length is negative");
        }
    }

    /** The shortest that a lead leaves of a shot. */
    long shortest() {
        return Math.max(1, minimumShot);
    }
}
