package instep.machine;

import org.jspecify.annotations.Nullable;

/**
 * What the machine wants done, called in order while it steps. Numbers index the chart's lists. {@code began} is the time of the
 * first edge of the gesture that caused it, {@code at} the time at which the machine knew; both monotonic nanoseconds. The values are good only
 * during the call.
 */
public interface Effects {
    /** A transition was taken, or a detour of it ended ({@code returning}). */
    void taken(int transition, boolean returning, long began, long at);

    /** A state was entered. */
    void entered(int state, long began, long at);

    /** A state was left. */
    void left(int state, long began, long at);

    /** A take begins. */
    void takeOpened(long take, long began, long at);

    /** A take goes on that another machine began at {@code began}: see {@link Machine#resume}. */
    default void takeResumed(long take, long began, long at) {
        takeOpened(take, began, at);
    }

    /** A take ends. */
    void takeClosed(long take, long began, long at);

    /** Another angle is to be on air. */
    void cut(int angle, long began, long at);

    /** A message is to be sent. */
    void send(int message, Values values, long began, long at);

    /** A mark is to be written. */
    void mark(String kind, @Nullable String text, long began, long at);

    /** The machine could not go on as asked and has kept its last stable configuration. */
    void fault(String text, long at);
}
