package instep.rehearsal;

import instep.daemon.Clockwork;
import java.util.ArrayDeque;
import java.util.Deque;
import java.util.function.LongConsumer;
import java.util.function.LongSupplier;

/**
 * Time that passes only when it is told to. Nothing is due by itself: whoever tells the time has the switchboard run what was due before. Not
 * thread-safe.
 */
final class VirtualTime implements Clockwork {
    private final Deque<Runnable> later = new ArrayDeque<>();
    private final long settle;
    private final double speed;
    private long now;

    /** Begins at {@code now}; edges may be told up to {@code settle} nanoseconds late. */
    VirtualTime(long now, long settle) {
        this(now, settle, 1);
    }

    /** The same in place of a clock's time that ran so many times too fast. */
    VirtualTime(long now, long settle, double speed) {
        this.now = now;
        this.settle = settle;
        this.speed = speed;
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
        return (long) (nanos / speed);
    }

    @Override
    public long passes(long nanos) {
        return (long) (nanos * speed);
    }

    @Override
    public long settle() {
        return settle;
    }

    @Override
    public void setTimer(LongSupplier nextDeadline, LongConsumer due) {
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

    @Override
    public void bug(RuntimeException bug) {
        throw bug;
    }
}
