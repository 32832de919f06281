package instep.gesture;

/**
 * The thresholds of one contact, in nanoseconds, none negative.
 *
 * @param debounce changes so soon after an accepted one are bounce
 * @param hold closed for so long is a hold
 * @param doubleTap a closing so soon after a tap's release counts as the next of a double tap
 * @param liftGrace a release is held back so long and forgotten if the contact closes again; 0 releases at once
 */
public record Timing(long debounce, long hold, long doubleTap, long liftGrace) {
    private static final long MILLIS = 1_000_000L;

    /** What holds where a configuration says nothing. */
    public static final Timing DEFAULT = new Timing(8 * MILLIS, 500 * MILLIS, 280 * MILLIS, 0);

    public Timing {
        if (debounce < 0 || hold <= 0 || doubleTap < 0 || liftGrace < 0) {
            throw new IllegalArgumentException("negative threshold, or a hold of nothing");
        }
    }
}
