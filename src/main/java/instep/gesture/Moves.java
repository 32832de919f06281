package instep.gesture;

/**
 * How the positions of a contact are sent.
 *
 * @param message its number among all messages; {@code {value}} in it is the position
 * @param interval nanoseconds that lie at least between two of them
 */
public record Moves(int message, Scale scale, long interval) {
    /** Twenty-five a second: no picture shows more. */
    public static final long USUAL_INTERVAL = 40_000_000L;

    public Moves {
        if (message < 0 || interval <= 0) {
            throw new IllegalArgumentException("message " + message + " every " + interval + " ns");
        }
    }
}
