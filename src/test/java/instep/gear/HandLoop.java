package instep.gear;

import static org.assertj.core.api.Assertions.fail;

import io.netty.channel.ManualIoEventLoop;
import io.netty.channel.epoll.EpollIoHandler;
import io.netty.channel.nio.NioIoHandler;
import io.netty.util.concurrent.Future;
import io.netty.util.concurrent.Ticker;
import java.util.concurrent.TimeUnit;
import java.util.function.BooleanSupplier;

/** A loop that the test turns by hand: real sockets, but time passes only when the test says so. */
final class HandLoop implements AutoCloseable {
    /** Netty's two kinds of loop on Linux. */
    enum Kind {
        EPOLL,
        NIO
    }

    private static final long PATIENCE_NANOS = TimeUnit.SECONDS.toNanos(20);

    private final Hands time = new Hands();
    final ManualIoEventLoop loop;

    HandLoop(Kind kind) {
        loop = new ManualIoEventLoop(
                null,
                Thread.currentThread(),
                kind == Kind.EPOLL ? EpollIoHandler.newFactory() : NioIoHandler.newFactory(),
                time);
    }

    /** As the rack makes it, but with names looked up in another way. */
    Net net(Net.Names names) {
        Net usual = Net.of(loop);
        return new Net(usual.loop(), usual.ticker(), usual.epoll(), names);
    }

    /** Turns until it is so; the clock stands still meanwhile. */
    void until(BooleanSupplier so) {
        long end = System.nanoTime() + PATIENCE_NANOS;
        while (!so.getAsBoolean()) {
            if (System.nanoTime() > end) {
                fail("it did not happen within 20 s");
            }
            loop.run(TimeUnit.MILLISECONDS.toNanos(1));
        }
    }

    /** Lets time pass, millisecond by millisecond, and does what is due. */
    void pass(long millis) {
        for (long i = 0; i < millis; i++) {
            time.advance(1);
            loop.runNow();
        }
    }

    /** Lets time pass until it is so, at most so long; the sockets get a little real time in each millisecond. */
    void passUntil(long atMostMillis, BooleanSupplier so) {
        for (long i = 0; i < atMostMillis && !so.getAsBoolean(); i++) {
            time.advance(1);
            loop.run(TimeUnit.MICROSECONDS.toNanos(200));
        }
        until(so);
    }

    /** Everything takes so long before the loop looks again, as when the machine has stalled. */
    void stall(long millis) {
        time.advance(millis);
    }

    @Override
    public void close() {
        time.run = true; // a loop ends after some quiet time only
        Future<?> ended = loop.shutdownGracefully(0, 0, TimeUnit.MILLISECONDS);
        until(ended::isDone);
    }

    /** The hands of the clock. */
    private static final class Hands implements Ticker {
        private long nanos;
        private boolean run;

        void advance(long millis) {
            nanos += TimeUnit.MILLISECONDS.toNanos(millis);
        }

        @Override
        public long initialNanoTime() {
            return 0;
        }

        @Override
        public long nanoTime() {
            return run ? nanos++ : nanos;
        }

        @Override
        public void sleep(long delay, TimeUnit unit) {
            nanos += unit.toNanos(delay);
        }
    }
}
