package instep.config;

/**
 * How the ends of what is left out are moved to where nobody speaks.
 *
 * @param sound the file that is listened to, with values in braces; empty: nothing is moved
 * @param within so many frames at most
 * @param pause nanoseconds that a pause lasts at least
 * @param below the level in dB under full scale below which nobody speaks
 */
public record SnapSettings(String sound, long within, long pause, int below) {
    private static final long MILLISECOND = 1_000_000L;
    /** Pauses that last at least so long. */
    static final long PAUSE = 150 * MILLISECOND;
    /** So far at most. */
    static final long WITHIN = 1_000 * MILLISECOND;
    /** The level of a quiet room below speech at a usual gain: common practice, no source. */
    static final int BELOW = -40;
    /** Nothing is moved. */
    public static final SnapSettings NONE = new SnapSettings("", 0, PAUSE, BELOW);
}
