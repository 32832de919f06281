package instep.daemon;

import java.util.function.LongConsumer;
import java.util.function.LongSupplier;

/** Time that stands where a test holds it; nothing comes due by itself, and what is put off is done at once. */
record HeldTime(LongSupplier held) implements Clockwork {
    @Override
    public long now() {
        return held.getAsLong();
    }

    @Override
    public long reading() {
        return held.getAsLong();
    }

    @Override
    public long timeOf(long nanos) {
        return nanos;
    }

    @Override
    public long lasted(long nanos) {
        return nanos;
    }

    @Override
    public long settle() {
        return 0;
    }

    @Override
    public void setTimer(LongSupplier nextDeadline, LongConsumer due) {
        // No timers here.
    }

    @Override
    public void arm() {
        // No timers here.
    }

    @Override
    public void later(Runnable task) {
        task.run();
    }

    @Override
    public void bug(RuntimeException bug) {
        throw bug;
    }
}
