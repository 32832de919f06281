package instep.gear;

import io.netty.channel.EventLoop;
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
import java.nio.file.Path;
import org.jspecify.annotations.Nullable;

/**
 * A raw HID node to which the output reports of a device are written, watched by the loop's epoll for the moment in which the device goes. The kernel keeps a writer
 * waiting until the device has taken the report, some milliseconds and at worst five seconds.
 */
final class HidrawNode implements EpollIoHandle, SlowOutput.Opened {
    /** Opens the node that was found. */
    @FunctionalInterface
    interface Opener {
        int open(Path node) throws UnfitException;
    }

    /** What a node never has, beside EPOLLERR and EPOLLHUP, which the kernel reports without being asked; asked for nothing, Netty would not watch it. */
    private static final EpollIoOps ONLY_ITS_END = EpollIoOps.EPOLLRDHUP;

    private final GearSettings.Led settings;
    private final Path path;
    private final FileDescriptor descriptor;
    private Runnable gone = () -> {};
    private @Nullable IoRegistration registration;

    private HidrawNode(GearSettings.Led settings, Path path, FileDescriptor descriptor) {
        this.settings = settings;
        this.path = path;
        this.descriptor = descriptor;
    }

    /** Opens the node of the device, if that is there. */
    static HidrawNode open(GearSettings.Led settings, Opener opener) throws UnfitException {
        Path node = settings.node()
                .find()
                .orElseThrow(() -> new UnfitException(
                        "the device of pedal " + settings.device() + " is not there, or takes no reports"));
        return new HidrawNode(settings, node, new FileDescriptor(opener.open(node)));
    }

    @Override
    public String greeting() {
        return "reports go to " + path + ", the device of pedal " + settings.device();
    }

    @Override
    public void watch(EventLoop loop, Runnable whenGone) throws IOException {
        gone = whenGone;
        Future<IoRegistration> registered = ((IoEventLoop) loop).register(this);
        if (!registered.isDone()) {
            throw new IllegalStateException("not on the loop thread");
        }
        if (!registered.isSuccess()) {
            close();
            throw new IOException(registered.cause());
        }
        registration = registered.getNow();
        registration.submit(ONLY_ITS_END);
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

    @Override
    public SlowOutput.Taken take(ByteBuffer report) throws UnfitException, IOException {
        int length = report.remaining();
        int taken;
        try {
            taken = descriptor.write(report, report.position(), report.limit());
        } catch (Errors.NativeIoException e) {
            throw new UnfitException("the device does not take this report: " + e.getMessage());
        } catch (IOException e) {
            throw new IOException("it is gone: is its cable in?", e);
        }
        if (taken != length) {
            throw new UnfitException("the device took " + taken + " of " + length + " bytes");
        }
        return new SlowOutput.Taken(System.nanoTime(), null);
    }

    @Override
    public void unwatch() {
        if (registration != null) {
            registration.cancel();
            registration = null;
        }
    }

    /** Any thread, once it is off the loop; also called when the loop ends. */
    @Override
    public void close() {
        try {
            descriptor.close();
        } catch (IOException e) {
            // The kernel frees the number all the same.
        }
    }
}
