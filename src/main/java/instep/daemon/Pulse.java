package instep.daemon;

import java.util.concurrent.Executor;
import java.util.concurrent.RejectedExecutionException;
import java.util.function.LongSupplier;

/**
 * Whether a thread still gets round, as another one can tell that asks it now and then: each time it is given a task that says so, unless it still owes the last.
 * Nothing wakes up while nobody asks. One asking thread only.
 */
final class Pulse {
    private final Executor loop;
    private final LongSupplier clock;
    private volatile boolean owes;
    private long since;

    /** @param clock monotonic, in nanoseconds */
    Pulse(Executor loop, LongSupplier clock) {
        this.loop = loop;
        this.clock = clock;
    }

    /** For how many nanoseconds it has owed a sign; 0 if it does not, and from now on it does. */
    long silence() {
        if (owes) {
            return clock.getAsLong() - since;
        }
        owes = true;
        since = clock.getAsLong();
        try {
            loop.execute(this::beat);
        } catch (RejectedExecutionException e) {
            // It has ended, and owes this sign for good.
        }
        return 0;
    }

    private void beat() {
        owes = false;
    }
}
