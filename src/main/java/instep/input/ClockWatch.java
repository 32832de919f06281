package instep.input;

import com.sun.jna.Pointer;
import io.netty.channel.IoEventLoop;
import java.io.IOException;
import java.nio.ByteBuffer;
import org.jspecify.annotations.Nullable;

/**
 * Notices that somebody has set this computer's clock, without ever looking at it: a timer of the kernel that never comes, but is cancelled when the clock jumps (timerfd_create(2),
 * {@code TFD_TIMER_CANCEL_ON_SET}). Loop thread only.
 */
public final class ClockWatch implements LoopSource.Reading, AutoCloseable {
    // Linux, time.h and sys/timerfd.h
    private static final int CLOCK_REALTIME = 0;
    private static final int ABSOLUTE_AND_CANCELLED_ON_SET = 1 | 2;
    /** The year 2242, in seconds. */
    private static final long NEVER = 1L << 33;

    private final IoEventLoop loop;
    private final Runnable set;
    private final ByteBuffer buffer = ByteBuffer.allocateDirect(Long.BYTES);
    private @Nullable LoopSource source;
    private boolean closed;

    /** Nothing is watched before {@link #start}. */
    public ClockWatch(IoEventLoop loop, Runnable set) {
        this.loop = loop;
        this.set = set;
    }

    /** Begins to watch; false if this system cannot. */
    public boolean start() {
        int fd = Libc.timerfd_create(CLOCK_REALTIME, Libc.O_NONBLOCK | Libc.O_CLOEXEC);
        if (fd < 0) {
            return false;
        }
        if (Libc.timerfd_settime(fd, ABSOLUTE_AND_CANCELLED_ON_SET, new long[] {0, 0, NEVER, 0}, Pointer.NULL) < 0) {
            Libc.close(fd);
            return false;
        }
        try {
            source = LoopSource.start(loop, fd, this, gone -> gone.closeDescriptor());
            return true;
        } catch (IOException e) {
            return false;
        }
    }

    @Override
    public ByteBuffer buffer() {
        return buffer;
    }

    @Override
    public void received(int bytes) {
        // The year 2242 has come.
    }

    /** A read gives ECANCELED: the clock was set. */
    @Override
    public void vanished(long nanos) {
        if (!closed) {
            start();
            set.run();
        }
    }

    @Override
    public void close() {
        closed = true;
        if (source != null) {
            source.close();
        }
    }
}
