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
import java.util.Optional;
import java.util.function.Function;
import org.hid4java.HidDevice;
import org.jspecify.annotations.Nullable;

/**
 * A raw HID node to which the output reports of a device are written, by hid4java or, where that cannot have it, straight. A descriptor of the node is watched by
 * the loop's epoll for the moment in which the device goes, of which hid4java says nothing. The kernel keeps a writer waiting until the device has taken the report,
 * some milliseconds and at worst five seconds.
 */
final class HidrawNode implements EpollIoHandle, SlowOutput.Opened {
    /** Opens the node that was found. */
    @FunctionalInterface
    interface Opener {
        int open(Path node) throws UnfitException;
    }

    /** What a node never has, beside EPOLLERR and EPOLLHUP, which the kernel reports without being asked; asked for nothing, Netty would not watch it. */
    private static final EpollIoOps ONLY_ITS_END = EpollIoOps.EPOLLRDHUP;

    private static final String GONE = "it is gone: is its cable in?";

    private final GearSettings.Led settings;
    private final Path path;
    private final FileDescriptor descriptor;
    private final Optional<HidDevice> device;
    private boolean isClosed;
    private Runnable gone = () -> {};
    private @Nullable IoRegistration registration;

    private HidrawNode(GearSettings.Led settings, Path path, FileDescriptor descriptor, Optional<HidDevice> device) {
        this.settings = settings;
        this.path = path;
        this.descriptor = descriptor;
        this.device = device;
    }

    /**
     * Opens the node of the device, if that is there.
     *
     * @param devices what hid4java opens of a node; empty if nothing
     */
    static HidrawNode open(GearSettings.Led settings, Opener opener, Function<Path, Optional<HidDevice>> devices)
            throws UnfitException {
        Path node = settings.node()
                .find()
                .orElseThrow(() -> new UnfitException(
                        "the device of pedal " + settings.device() + " is not there, or takes no reports"));
        return new HidrawNode(settings, node, new FileDescriptor(opener.open(node)), devices.apply(node));
    }

    @Override
    public String greeting() {
        return "reports go to " + path + ", the device of pedal " + settings.device()
                + (device.isPresent() ? ", by hid4java" : "");
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
    public synchronized SlowOutput.Taken take(ByteBuffer report) throws UnfitException, IOException {
        if (isClosed) {
            throw new IOException(GONE);
        }
        int length = report.remaining();
        int taken = device.isPresent() ? written(device.get(), report) : written(report);
        if (taken != length) {
            throw new UnfitException("the device took " + taken + " of " + length + " bytes");
        }
        return new SlowOutput.Taken(System.nanoTime(), null);
    }

    private int written(ByteBuffer report) throws UnfitException, IOException {
        try {
            return descriptor.write(report, report.position(), report.limit());
        } catch (Errors.NativeIoException e) {
            throw new UnfitException("the device does not take this report: " + e.getMessage());
        } catch (IOException e) {
            throw new IOException(GONE, e);
        }
    }

    /** Of what went wrong it says one letter, and it stays open when the device has gone: the descriptor tells which of the two it was. */
    private int written(HidDevice to, ByteBuffer report) throws UnfitException, IOException {
        byte[] bytes = new byte[report.remaining() - 1];
        report.get(report.position() + 1, bytes);
        int taken = to.write(bytes, bytes.length, report.get(report.position()));
        if (taken < 0) {
            if (HidrawLibc.isGone(descriptor.intValue())) {
                throw new IOException(GONE);
            }
            throw new UnfitException("the device does not take this report");
        }
        return taken;
    }

    @Override
    public void unwatch() {
        if (registration != null) {
            registration.cancel();
            registration = null;
        }
    }

    /** Any thread, once it is off the loop; also called when the loop ends. Waits for a report that is being written. */
    @Override
    public synchronized void close() {
        if (!isClosed) {
            device.ifPresent(Hid4JavaDevices::close);
        }
        isClosed = true;
        try {
            descriptor.close();
        } catch (IOException e) {
            // The kernel frees the number all the same.
        }
    }
}
