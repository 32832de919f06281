package instep.daemon;

import java.util.function.LongConsumer;
import java.util.function.LongSupplier;

/**
 * Calls a chase when something is due by itself, as when nothing has come in for too long. One timer at most: each thing that comes in puts the deadline off, and the timer looks again when it
 * comes. Loop thread only.
 */
final class ChaseTimer {
    private final Loop loop;
    private final LongSupplier nextDeadline;
    private final LongConsumer advanceTo;
    private boolean isArmed;
    private boolean stopped;

    ChaseTimer(Loop loop, LongSupplier nextDeadline, LongConsumer advanceTo) {
        this.loop = loop;
        this.nextDeadline = nextDeadline;
        this.advanceTo = advanceTo;
    }

    /** Sees to it that the deadline will be kept. */
    void arm() {
        long deadline = nextDeadline.getAsLong();
        if (isArmed || stopped || deadline == Long.MAX_VALUE) {
            return;
        }
        isArmed = true;
        loop.at(deadline, () -> {
            isArmed = false;
            if (!stopped) {
                advanceTo.accept(loop.now());
                arm();
            }
        });
    }

    void stop() {
        stopped = true;
    }
}
