package instep.gear;

import instep.machine.Values;
import io.netty.buffer.ByteBuf;
import io.netty.channel.IoEventLoop;
import io.netty.channel.unix.FileDescriptor;
import io.netty.util.concurrent.ScheduledFuture;
import java.io.IOException;
import java.nio.ByteBuffer;
import java.nio.file.Path;
import java.util.Optional;
import java.util.concurrent.ExecutorService;
import java.util.concurrent.Executors;
import java.util.concurrent.RejectedExecutionException;
import java.util.concurrent.ThreadLocalRandom;
import java.util.function.LongPredicate;
import org.jspecify.annotations.Nullable;

/**
 * Output reports to the device of a pedal unit, for the lamps on it. The kernel keeps a writer waiting until the device has taken the report, some
 * milliseconds and at worst five seconds, so that a thread of its own writes, one report at a time. Loop thread only.
 */
final class LedLink implements Link {
    /** Opens the node that was found. */
    interface Opener {
        int open(Path node) throws UnfitException;
    }

    private final GearSettings.Led settings;
    private final Net net;
    private final Report report;
    private final Opener opener;
    private final Wire.Cache wires;
    private final Waiting<Outgoing.Parcel> waiting;
    private final Backoff backoff =
            new Backoff(() -> ThreadLocalRandom.current().nextDouble());
    private final ExecutorService writer;
    private ByteBuffer out = ByteBuffer.allocateDirect(64);
    private @Nullable HidrawNode node;
    private Outgoing.@Nullable Parcel inFlight;
    private @Nullable ScheduledFuture<?> pause;
    private boolean closed;

    /** Nothing happens before {@link #start}. */
    LedLink(GearSettings.Led settings, Net net, Report report, Opener opener) {
        this.settings = settings;
        this.net = net;
        this.report = report;
        this.opener = opener;
        wires = new Wire.Cache(new LedEncoder(settings.report()));
        waiting = new Waiting<>(
                net, report, () -> node == null ? report.lostWhy() : "the device has not taken the report before it");
        writer = Executors.newSingleThreadExecutor(task -> {
            Thread thread = new Thread(task, "led-" + settings.name());
            thread.setDaemon(true);
            return thread;
        });
    }

    @Override
    public void start() {
        pause = null;
        if (!net.epoll()) {
            report.lost("lamps of pedals need Linux's epoll, which is not to be had here");
            return;
        }
        writer.execute(() -> answer(open()));
    }

    /** On the writer's thread; what it gives is run on the loop. */
    private Runnable open() {
        Optional<Path> found = settings.node().find();
        if (found.isEmpty()) {
            return () -> failed("the device of pedal " + settings.device() + " is not there, or takes no reports");
        }
        try {
            int fd = opener.open(found.get());
            return () -> opened(fd, found.get());
        } catch (UnfitException e) {
            return () -> failed(e.why());
        }
    }

    private void answer(Runnable task) {
        try {
            net.loop().execute(task);
        } catch (RejectedExecutionException e) {
            // the program is ending, and with it the descriptor
        }
    }

    private void opened(int fd, Path path) {
        FileDescriptor descriptor = new FileDescriptor(fd);
        if (closed) {
            HidrawNode.close(descriptor);
            return;
        }
        try {
            node = HidrawNode.watch((IoEventLoop) net.loop(), descriptor, this::vanished);
        } catch (IOException e) {
            failed(path + " cannot be used: " + e.getMessage());
            return;
        }
        backoff.reset();
        report.up("reports go to " + path + ", the device of pedal " + settings.device());
        drain();
    }

    private void failed(String why) {
        if (!closed) {
            report.lost(why);
            pause = net.after(backoff.nextNanos(), this::start);
        }
    }

    @Override
    public void send(Payload payload, Values values, long ticket) {
        try {
            Wire wire = wires.wire(payload, values);
            waiting.add(new Outgoing.Parcel(wire, ticket, net.nanos() + settings.staleAfterNanos()));
            drain();
        } catch (IllegalArgumentException e) {
            report.missed(ticket, settings.name(), String.valueOf(e.getMessage()));
        }
    }

    private void drain() {
        HidrawNode to = node;
        if (to == null || inFlight != null) {
            return;
        }
        Outgoing.Parcel next = waiting.poll();
        if (next != null) {
            inFlight = next;
            ByteBuffer bytes = filled(next.wire().bytes());
            writer.execute(() -> {
                String fault = to.write(bytes);
                answer(() -> written(next, fault));
            });
        }
    }

    /** The message's own bytes may be released before the kernel has read them, if the program ends. */
    private ByteBuffer filled(ByteBuf bytes) {
        if (out.capacity() < bytes.readableBytes()) {
            out = ByteBuffer.allocateDirect(bytes.readableBytes());
        }
        out.clear().limit(bytes.readableBytes());
        bytes.getBytes(bytes.readerIndex(), out);
        return out.flip();
    }

    /** The kernel has answered; an empty fault is none. */
    private void written(Outgoing.Parcel parcel, String fault) {
        if (closed) {
            parcel.wire().release();
            return;
        }
        inFlight = null;
        parcel.wire().release();
        if (fault.isEmpty()) {
            report.sent(parcel);
        } else {
            report.missed(parcel.ticket(), parcel.wire().text(), fault);
        }
        drain();
    }

    private void vanished() {
        lose("the device of pedal " + settings.device() + " is gone: is its cable in?");
    }

    private void lose(String why) {
        HidrawNode lost = node;
        if (lost != null) {
            node = null;
            lost.stop();
            writer.execute(lost::close);
            report.lost(why);
            pause = net.after(backoff.nextNanos(), this::start);
        }
    }

    @Override
    public void withdraw(LongPredicate tickets, String why) {
        waiting.withdraw(tickets, why);
    }

    @Override
    public void reset(String because) {
        lose("the device of pedal " + settings.device() + ": " + because);
    }

    @Override
    public boolean isUp() {
        return report.isUp();
    }

    @Override
    public boolean isQuiet() {
        return inFlight == null && waiting.isEmpty();
    }

    @Override
    public void close() {
        closed = true;
        if (pause != null) {
            pause.cancel(false);
        }
        Outgoing.Parcel half = inFlight;
        if (half != null) {
            report.missed(half.ticket(), half.wire().text(), "Instep has ended before the device took it");
        }
        waiting.clear("Instep has ended");
        HidrawNode open = node;
        if (open != null) {
            node = null;
            open.stop();
            writer.execute(open::close);
        }
        writer.shutdown();
        report.end();
        wires.clear();
    }
}
