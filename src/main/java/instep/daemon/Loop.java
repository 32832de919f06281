package instep.daemon;

import io.netty.channel.IoEventLoop;
import io.netty.channel.IoEventLoopGroup;
import io.netty.channel.IoHandlerFactory;
import io.netty.channel.MultiThreadIoEventLoopGroup;
import io.netty.channel.epoll.Epoll;
import io.netty.channel.epoll.EpollIoHandle;
import io.netty.channel.epoll.EpollIoHandler;
import io.netty.channel.nio.NioIoHandler;
import io.netty.util.concurrent.FastThreadLocalThread;
import io.netty.util.concurrent.Future;
import java.util.concurrent.CompletableFuture;
import java.util.concurrent.ThreadFactory;
import java.util.concurrent.TimeUnit;
import java.util.function.LongConsumer;
import java.util.function.LongSupplier;
import org.jspecify.annotations.Nullable;

/**
 * The one thread on which devices, timers, machine and sockets live, and its time. Time is the monotonic clock's, which is the kernel's
 * stamp on an edge, too; a demo may let it run faster from the moment at which the loop was opened.
 */
public final class Loop implements Clockwork, AutoCloseable {
    /** How long a due timer waits, so that an edge which was made before it but is read after it still comes first. */
    public static final long SETTLE_NANOS = 2_000_000L;

    private static final long IDLE_DAYS = 3_650;

    private final IoEventLoopGroup group;
    private final IoEventLoop eventLoop;
    private final LongSupplier clock;
    private final double speed;
    private final long origin;

    private LongSupplier deadline = () -> Long.MAX_VALUE;
    private LongConsumer onDue = due -> {};
    private long armedFor = Long.MAX_VALUE;
    private @Nullable Future<?> armed;

    private Loop(IoHandlerFactory handlers, double speed) {
        this(
                new MultiThreadIoEventLoopGroup(
                        1, (ThreadFactory) task -> new FastThreadLocalThread(task, "instep-loop"), handlers),
                System::nanoTime,
                speed);
    }

    /** A loop on the first of some event loops; the clock is the monotonic one, which devices stamp by, but for a test. */
    Loop(IoEventLoopGroup group, LongSupplier clock, double speed) {
        this.group = group;
        this.clock = clock;
        this.speed = speed;
        origin = clock.getAsLong();
        eventLoop = group.next();
        // A loop without any timer wakes up once a second to see whether there is one.
        Future<?> idle = eventLoop.schedule(() -> {}, IDLE_DAYS, TimeUnit.DAYS);
        assert !idle.isDone();
    }

    /**
     * Begins to load what a loop needs, with its native part, on a thread of its own: a good tenth of a start, while the configuration is read. To be waited for before a loop is opened.
     */
    public static CompletableFuture<Boolean> load() {
        return CompletableFuture.supplyAsync(Epoll::isAvailable);
    }

    /** A loop on epoll where the system has it; devices need that, everything else runs without. */
    public static Loop open(double speed) {
        return Epoll.isAvailable() ? new Loop(EpollIoHandler.newFactory(), speed) : withoutDevices(speed);
    }

    /** A loop on which no device can be read. */
    static Loop withoutDevices(double speed) {
        return new Loop(NioIoHandler.newFactory(), speed);
    }

    /** Whether descriptors of devices can be read on it. */
    boolean readsDevices() {
        return eventLoop.isCompatible(EpollIoHandle.class);
    }

    /** How many times faster than the clock its time runs. */
    double speed() {
        return speed;
    }

    public IoEventLoop eventLoop() {
        return eventLoop;
    }

    /** The loop's time in nanoseconds. */
    @Override
    public long now() {
        return timeOf(clock.getAsLong());
    }

    /** The loop's time at a reading of the monotonic clock. */
    @Override
    public long timeOf(long nanos) {
        return speed == 1 ? nanos : origin + (long) ((nanos - origin) * speed);
    }

    /**
     * What is to be called when the deadline has come, with that deadline; both on the loop. A loop that is behind runs deadlines one by one, so that what
     * else is late can come in between, each in its turn.
     */
    @Override
    public void setTimer(LongSupplier nextDeadline, LongConsumer due) {
        deadline = nextDeadline;
        onDue = due;
    }

    /** Forgets the timer; on the loop. */
    void dropTimer() {
        if (armed != null) {
            armed.cancel(false);
            armed = null;
        }
        armedFor = Long.MAX_VALUE;
        setTimer(() -> Long.MAX_VALUE, due -> {});
    }

    /** How long a stretch of the loop's time lasts by the clock. */
    @Override
    public long lasted(long nanos) {
        return (long) (nanos / speed);
    }

    @Override
    public long passes(long nanos) {
        return (long) (nanos * speed);
    }

    /** Sees to it that the timer's next deadline will be kept; on the loop. An earlier wake-up than needed is left standing. */
    @Override
    public void arm() {
        long due = deadline.getAsLong();
        if (due >= armedFor || due == Long.MAX_VALUE) {
            return;
        }
        if (armed != null) {
            armed.cancel(false);
        }
        armedFor = due;
        armed = schedule(due + settle(), () -> {
            armedFor = Long.MAX_VALUE;
            armed = null;
            onDue.accept(due);
            arm();
        });
    }

    @Override
    public long reading() {
        return clock.getAsLong();
    }

    @Override
    public void later(Runnable task) {
        eventLoop.execute(() -> run(task));
    }

    /** The event loop would only log what a task throws, and go on. */
    private static void run(Runnable task) {
        try {
            task.run();
        } catch (RuntimeException | Error e) {
            crash(e);
        }
    }

    /** Runs something on the loop at a time of the loop. */
    @SuppressWarnings("FutureReturnValueIgnored")
    public void at(long time, Runnable task) {
        schedule(time, task);
    }

    private Future<?> schedule(long at, Runnable task) {
        long delay = lasted(at - now());
        return eventLoop.schedule(() -> run(task), Math.max(0, delay), TimeUnit.NANOSECONDS);
    }

    @Override
    public long settle() {
        return passes(SETTLE_NANOS);
    }

    @Override
    public void bug(RuntimeException bug) {
        crash(bug);
    }

    /** A bug of ours: no guessing on in the middle of a take. The service manager starts the program again, with a clean mind. */
    public static void crash(Throwable bug) {
        System.err.println("instep: a bug ends the program; please report this:");
        bug.printStackTrace();
        Runtime.getRuntime().halt(Exit.FAILED);
    }

    @Override
    public void close() {
        group.shutdownGracefully(0, 2, TimeUnit.SECONDS).syncUninterruptibly();
    }
}
