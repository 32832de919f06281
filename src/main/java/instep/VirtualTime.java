package instep;

import java.util.ArrayDeque;
import java.util.Deque;
import java.util.function.LongSupplier;

/**
 * Time that passes only when it is told to. Nothing is due by itself: whoever tells the time has the switchboard run what was due before. Not
 * thread-safe.
 */
final class VirtualTime implements Clockwork {
    private final Deque<Runnable> later = new ArrayDeque<>();
    private long now;

    VirtualTime(long now) {
        this.now = now;
    }

    /** Lets time pass to that instant, then does something, and what that puts off. */
    void at(long nanos, Runnable task) {
        now = Math.max(now, nanos);
        task.run();
        for (Runnable next = later.poll(); next != null; next = later.poll()) {
            next.run();
        }
    }

    @Override
    public long now() {
        return now;
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
    public void setTimer(LongSupplier nextDeadline, Runnable due) {
        // Deadlines run before the next thing that happens.
    }

    @Override
    public void arm() {
        // See setTimer.
    }

    @Override
    public void later(Runnable task) {
        later.add(task);
    }
}
