package instep.gear;

import io.netty.channel.IoEvent;
import io.netty.channel.IoEventLoop;
import io.netty.channel.IoRegistration;
import io.netty.channel.epoll.EpollIoHandle;
import io.netty.channel.epoll.EpollIoOps;
import io.netty.channel.unix.Errors;
import io.netty.channel.unix.FileDescriptor;
import io.netty.util.concurrent.Future;
import java.io.IOException;
import java.nio.ByteBuffer;
import org.jspecify.annotations.Nullable;

/** A raw HID node that is written to, watched by the loop's epoll for the moment in which its device goes. Loop thread only, but for what says otherwise. */
final class HidrawNode implements EpollIoHandle {
    /** What a node never has, beside EPOLLERR and EPOLLHUP, which the kernel reports without being asked; asked for nothing, Netty would not watch it. */
    private static final EpollIoOps ONLY_ITS_END = EpollIoOps.EPOLLRDHUP;

    private final FileDescriptor descriptor;
    private final Runnable gone;
    private @Nullable IoRegistration registration;

    private HidrawNode(FileDescriptor descriptor, Runnable gone) {
        this.descriptor = descriptor;
        this.gone = gone;
    }

    /** Begins to watch. The descriptor belongs to the node from now on, also if this fails. */
    static HidrawNode watch(IoEventLoop loop, FileDescriptor descriptor, Runnable gone) throws IOException {
        HidrawNode node = new HidrawNode(descriptor, gone);
        Future<IoRegistration> registered = loop.register(node);
        if (!registered.isDone()) {
            throw new IllegalStateException("not on the loop thread");
        }
        if (!registered.isSuccess()) {
            close(descriptor);
            throw new IOException(registered.cause());
        }
        node.registration = registered.getNow();
        node.registration.submit(ONLY_ITS_END);
        return node;
    }

    @Override
    public FileDescriptor fd() {
        return descriptor;
    }

    @Override
    public void handle(IoRegistration from, IoEvent event) {
        if (registration != null) {
            gone.run();
        }
    }

    /** Writes one report, waiting until the device has it; gives what went wrong, or nothing. On the writer's thread. */
    String write(ByteBuffer report) {
        try {
            int length = report.remaining();
            int taken = descriptor.write(report, report.position(), report.limit());
            return taken == length ? "" : "the device took " + taken + " of " + length + " bytes";
        } catch (Errors.NativeIoException e) {
            return "the device does not take this report: " + e.getMessage();
        } catch (IOException e) {
            return "the device is gone: is its cable in?";
        }
    }

    /** Takes it off the loop. */
    void stop() {
        if (registration != null) {
            registration.cancel();
            registration = null;
        }
    }

    /** Any thread, once it is off the loop; also called when the loop ends. */
    @Override
    public void close() {
        close(descriptor);
    }

    static void close(FileDescriptor descriptor) {
        try {
            descriptor.close();
        } catch (IOException e) {
            // The kernel frees the number all the same.
        }
    }
}
