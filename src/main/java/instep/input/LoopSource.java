package instep.input;

import io.netty.channel.IoEvent;
import io.netty.channel.IoEventLoop;
import io.netty.channel.IoRegistration;
import io.netty.channel.epoll.EpollIoEvent;
import io.netty.channel.epoll.EpollIoHandle;
import io.netty.channel.epoll.EpollIoOps;
import io.netty.channel.unix.Errors;
import io.netty.channel.unix.FileDescriptor;
import io.netty.util.concurrent.Future;
import java.io.IOException;
import java.io.UncheckedIOException;
import java.nio.ByteBuffer;
import java.util.function.Consumer;
import org.jspecify.annotations.Nullable;

/** A descriptor on the loop: read once each time that the kernel has something, until it is gone. Loop thread only. */
final class LoopSource implements EpollIoHandle {
    /** What is done with the bytes. */
    interface Reading {
        /** Where to read to: from its position to its limit. */
        ByteBuffer buffer();

        /** So many bytes were put at the buffer's position. */
        void received(int bytes);

        /** Nothing will come any more. */
        void vanished(long nanos);

        /** The source was closed: nothing may be told any more. */
        default void ended() {}
    }

    /** EPOLLERR and EPOLLHUP, which the kernel reports without being asked. */
    private static final int BROKEN = 0x8 | 0x10;

    private final FileDescriptor descriptor;
    private final Reading reading;
    private final Consumer<LoopSource> gone;
    private @Nullable IoRegistration registration;

    private LoopSource(FileDescriptor descriptor, Reading reading, Consumer<LoopSource> gone) {
        this.descriptor = descriptor;
        this.reading = reading;
        this.gone = gone;
    }

    /**
     * Begins to read. The descriptor must not block, and belongs to the source from now on, also if this fails.
     *
     * @param gone told once when the device has vanished; the source is off the loop then, and the descriptor still to
     *     be closed
     */
    static LoopSource start(IoEventLoop loop, int fd, Reading reading, Consumer<LoopSource> gone) throws IOException {
        LoopSource source = new LoopSource(new FileDescriptor(fd), reading, gone);
        Future<IoRegistration> registered = loop.register(source);
        if (!registered.isDone()) {
            throw new IllegalStateException("not on the loop thread");
        }
        if (!registered.isSuccess()) {
            source.close();
            throw new IOException(registered.cause());
        }
        IoRegistration registration = registered.getNow();
        source.registration = registration;
        try {
            registration.submit(EpollIoOps.EPOLLIN);
            return source;
        } catch (UncheckedIOException e) {
            source.close();
            throw e.getCause();
        }
    }

    @Override
    public FileDescriptor fd() {
        return descriptor;
    }

    @Override
    public void handle(IoRegistration from, IoEvent event) {
        if (registration == null) {
            return;
        }
        try {
            read(event);
        } catch (RuntimeException | Error e) {
            // The event loop would only log it and go on.
            Thread thread = Thread.currentThread();
            thread.getUncaughtExceptionHandler().uncaughtException(thread, e);
            throw e;
        }
    }

    private void read(IoEvent event) {
        ByteBuffer buffer = reading.buffer();
        int count;
        try {
            count = descriptor.read(buffer, buffer.position(), buffer.limit());
        } catch (Errors.NativeIoException e) {
            count = -1; // ENODEV of an event node, EIO of a raw one
        } catch (IOException e) {
            throw new IllegalStateException("read of " + descriptor, e);
        }
        if (count > 0) {
            reading.received(count);
        } else if (count < 0 || (((EpollIoEvent) event).ops().value() & BROKEN) != 0) {
            stop();
            reading.vanished(System.nanoTime());
            gone.accept(this);
        }
    }

    /** Takes it off the loop; the descriptor stays open. */
    void stop() {
        if (registration != null) {
            registration.cancel();
            registration = null;
        }
    }

    /** Takes it off the loop and closes the descriptor; also called when the loop ends. */
    @Override
    public void close() {
        stop();
        reading.ended();
        closeDescriptor();
    }

    /** Closes the descriptor of a source that is off the loop; any thread. */
    void closeDescriptor() {
        try {
            descriptor.close();
        } catch (IOException e) {
            // The kernel frees the number all the same, and nothing was written that could be lost.
        }
    }
}
