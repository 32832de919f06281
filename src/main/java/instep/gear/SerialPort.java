package instep.gear;

import io.netty.buffer.ByteBuf;
import io.netty.buffer.Unpooled;
import io.netty.channel.IoEvent;
import io.netty.channel.IoEventLoop;
import io.netty.channel.IoRegistration;
import io.netty.channel.epoll.EpollIoEvent;
import io.netty.channel.epoll.EpollIoHandle;
import io.netty.channel.epoll.EpollIoOps;
import io.netty.channel.unix.FileDescriptor;
import io.netty.util.concurrent.Future;
import java.io.IOException;
import java.nio.ByteBuffer;
import org.jspecify.annotations.Nullable;

/** An open serial line on the loop's epoll, as the pedals are: no thread waits for it. Loop thread only. */
final class SerialPort implements EpollIoHandle {
    /** Whose it is. */
    interface Owner {
        void said(ByteBuf bytes);

        /** It takes bytes again. */
        void writable();

        /** It is gone, and closed. */
        void vanished();
    }

    private static final int READ_BYTES = 2_048;
    /** EPOLLERR and EPOLLHUP, which the kernel reports without being asked. */
    private static final int BROKEN = 0x8 | 0x10;

    private final FileDescriptor descriptor;
    private final Owner owner;
    private final ByteBuffer in = ByteBuffer.allocateDirect(READ_BYTES);
    private @Nullable IoRegistration registration;

    private SerialPort(FileDescriptor descriptor, Owner owner) {
        this.descriptor = descriptor;
        this.owner = owner;
    }

    /** Begins to read. The descriptor belongs to the port from now on, also if this fails. */
    static SerialPort start(IoEventLoop loop, int fd, Owner owner) throws IOException {
        SerialPort port = new SerialPort(new FileDescriptor(fd), owner);
        Future<IoRegistration> registered = loop.register(port);
        if (!registered.isDone()) {
            throw new IllegalStateException("not on the loop thread");
        }
        if (!registered.isSuccess()) {
            port.close();
            throw new IOException(registered.cause());
        }
        port.registration = registered.getNow();
        port.registration.submit(EpollIoOps.EPOLLIN);
        return port;
    }

    @Override
    public FileDescriptor fd() {
        return descriptor;
    }

    /** Writes what the kernel takes of it at once, and moves its reading position by that. */
    void write(ByteBuf bytes) throws IOException {
        int length = bytes.readableBytes();
        ByteBuffer out = bytes.nioBuffer(bytes.readerIndex(), length);
        bytes.skipBytes(Math.max(0, descriptor.write(out, out.position(), out.limit())));
    }

    /** Whether the owner is told when bytes are taken again. */
    void wantsToWrite(boolean wants) {
        if (registration != null) {
            registration.submit(wants ? EpollIoOps.EPOLLIN.with(EpollIoOps.EPOLLOUT) : EpollIoOps.EPOLLIN);
        }
    }

    @Override
    public void handle(IoRegistration from, IoEvent event) {
        if (registration == null) {
            return;
        }
        EpollIoOps ops = ((EpollIoEvent) event).ops();
        if (ops.contains(EpollIoOps.EPOLLOUT)) {
            owner.writable();
        }
        if (registration == null) { // the owner may have had enough
            return;
        }
        boolean broken = (ops.value() & BROKEN) != 0;
        if ((!read() || broken) && registration != null) {
            close();
            owner.vanished();
        }
    }

    private boolean read() {
        try {
            int count = descriptor.read(in, 0, READ_BYTES);
            if (count > 0) {
                owner.said(Unpooled.wrappedBuffer(in.duplicate().limit(count)));
            }
            return count >= 0;
        } catch (IOException e) { // EIO: the device is gone
            return false;
        }
    }

    /** Takes it off the loop, throws away what the kernel holds, and has it closed where that may take long. */
    @Override
    public void close() {
        if (registration == null) {
            return;
        }
        registration.cancel();
        registration = null;
        SerialLibc.flush(descriptor.intValue());
        Thread closing = new Thread(this::closeDescriptor, "serial-close");
        closing.setDaemon(true);
        closing.start();
    }

    private void closeDescriptor() {
        try {
            descriptor.close();
        } catch (IOException e) {
            // The kernel frees the number all the same.
        }
    }
}
