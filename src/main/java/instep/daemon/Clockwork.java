package instep.daemon;

import java.util.function.LongConsumer;
import java.util.function.LongSupplier;

/** What a switchboard needs of time: the loop's own, or time that only passes when it is told to. All on one thread. */
public interface Clockwork {
    /** The time in nanoseconds; never goes back. */
    long now();

    /** The time at a reading of the monotonic clock. */
    long timeOf(long nanos);

    /** How long a stretch of this time lasts by the clock. */
    long lasted(long nanos);

    /** How much of this time passes in a stretch by the clock. */
    default long passes(long nanos) {
        return nanos;
    }

    /** How far behind now everything has been heard of: a timer waits so long, and what gear says counts as so much earlier. */
    long settle();

    /** The monotonic clock, to see how long something takes; where time only passes when it is told to, nothing takes any. */
    default long reading() {
        return 0;
    }

    /** What is to be called when the deadline has come, with that deadline. */
    void setTimer(LongSupplier nextDeadline, LongConsumer due);

    /** Sees to it that the timer's next deadline will be kept. */
    void arm();

    /** Runs something after what is being done now. */
    void later(Runnable task);

    /** What is to become of a bug of ours. */
    void bug(RuntimeException bug);
}
