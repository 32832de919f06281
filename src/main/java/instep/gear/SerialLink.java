package instep.gear;

import instep.machine.Values;
import io.netty.buffer.ByteBuf;
import io.netty.channel.IoEventLoop;
import io.netty.util.concurrent.ScheduledFuture;
import java.io.IOException;
import java.util.concurrent.TimeUnit;
import java.util.function.LongPredicate;
import org.jspecify.annotations.Nullable;

/**
 * Text or bytes over a serial line (EIA-232 and the like) of this machine. The line is opened on a thread that ends with that; from then on its descriptor
 * is on the loop's epoll, so that no thread waits for it and a cut takes no hop. Serial lines are slow: the kernel is given no more than goes out soon, so
 * that what is stale is still here and can be dropped. Loop thread only.
 */
final class SerialLink implements Link, SerialPort.Owner {
    /** So much the kernel may have in hand, so that there is no gap between messages. */
    private static final long AHEAD_NANOS = TimeUnit.MILLISECONDS.toNanos(20);

    private final GearSettings.Serial settings;
    private final Net net;
    private final Report report;
    private final Wire.Cache wires;
    private final Waiting<Outgoing.Parcel> waiting;
    private final Opening<Integer> opening;
    private Frames frames;
    private @Nullable SerialPort port;
    private Outgoing.@Nullable Parcel inFlight;
    private @Nullable ByteBuf rest;
    private @Nullable ScheduledFuture<?> patience;
    private @Nullable ScheduledFuture<?> turn;
    private long freeAt;

    /** Nothing happens before {@link #start}. */
    SerialLink(GearSettings.Serial settings, Net net, Report report) {
        this.settings = settings;
        this.net = net;
        this.report = report;
        this.wires = new Wire.Cache(new TextEncoder(settings.framing()), net.secrets());
        this.waiting = new Waiting<>(
                net, report, () -> port == null ? report.lostWhy() : "the bytes before it have not gone out");
        this.opening = new Opening<>(
                net,
                report,
                SerialLink::onAThreadOfItsOwn,
                () -> SerialLibc.open(settings.device(), settings.line()),
                this::opened);
        this.frames = frames();
    }

    private static void onAThreadOfItsOwn(Runnable task) {
        Thread thread = new Thread(task, "serial-open");
        thread.setDaemon(true);
        thread.start();
    }

    private Frames frames() {
        return TcpPlug.frames(settings.framing(), text -> report.reply(-1, text));
    }

    @Override
    public void start() {
        if (!net.epoll()) {
            report.lost("serial lines need Linux's epoll, which is not to be had here");
            return;
        }
        opening.start();
    }

    private void opened(int fd) {
        try {
            SerialPort fresh = SerialPort.start((IoEventLoop) net.loop(), fd, this);
            if (opening.isClosed()) {
                fresh.close();
                return;
            }
            port = fresh;
        } catch (IOException e) {
            opening.lost("the serial line " + settings.device() + " cannot be used: " + e.getMessage());
            return;
        }
        frames = frames();
        freeAt = net.nanos();
        opening.succeeded();
        report.up("the serial line " + settings.device() + " is open (nothing tells whether anybody listens)");
        drain();
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
        while (port != null && inFlight == null && turn == null) {
            long early = freeAt - net.nanos() - AHEAD_NANOS;
            if (early > 0) {
                if (!waiting.isEmpty()) {
                    turn = net.after(early, () -> {
                        turn = null;
                        drain();
                    });
                }
                return;
            }
            Outgoing.Parcel next = waiting.poll();
            if (next == null) {
                return;
            }
            inFlight = next;
            rest = next.wire().copy();
            push(port);
        }
    }

    private void push(SerialPort to) {
        Outgoing.Parcel parcel = inFlight;
        ByteBuf bytes = rest;
        if (parcel == null || bytes == null) {
            return;
        }
        int before = bytes.readableBytes();
        try {
            to.write(bytes);
        } catch (IOException e) {
            lose("the serial line " + settings.device() + " is gone: is its cable in?");
            return;
        }
        long took = (before - bytes.readableBytes()) * nanosPerByte();
        freeAt = Math.max(freeAt, net.nanos()) + took;
        if (!bytes.isReadable()) {
            to.wantsToWrite(false);
            settle();
            parcel.wire().release();
            report.sent(parcel);
        } else if (patience == null) {
            to.wantsToWrite(true);
            patience = net.after(
                    parcel.deadline() - net.nanos(),
                    () -> lose("the serial line " + settings.device() + " takes no more bytes: is the "
                            + settings.name() + " frozen?"));
        }
    }

    /** A start bit, the bits of the character, and what ends it. */
    private long nanosPerByte() {
        SerialLine line = settings.line();
        int bits = 1 + line.dataBits() + (line.parity() == SerialLine.Parity.NONE ? 0 : 1) + line.stopBits();
        return bits * TimeUnit.SECONDS.toNanos(1) / line.baud();
    }

    private void settle() {
        inFlight = null;
        if (rest != null) {
            rest.release();
            rest = null;
        }
        if (patience != null) {
            patience.cancel(false);
            patience = null;
        }
    }

    @Override
    public void said(ByteBuf bytes) {
        if (!frames.take(bytes)) {
            lose("the " + settings.name() + " on " + settings.device() + " " + frames.excess());
        }
    }

    @Override
    public void writable() {
        if (port != null) {
            push(port);
            drain();
        }
    }

    @Override
    public void vanished() {
        lose("the serial line " + settings.device() + " is gone: is its cable in?");
    }

    /** What has gone out in part is missed: sent again, its first part would be there twice. */
    private void lose(String why) {
        SerialPort lost = port;
        if (lost == null) {
            return;
        }
        port = null;
        Outgoing.Parcel half = inFlight;
        settle();
        lost.close();
        opening.lost(why);
        if (half != null) {
            half.wire().release();
            report.missed(half.ticket(), half.wire().text(), why);
        }
    }

    @Override
    public void withdraw(LongPredicate tickets, String why) {
        waiting.withdraw(tickets, why);
    }

    @Override
    public void reset(String because) {
        lose("the serial line " + settings.device() + ": " + because);
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
        opening.close();
        SerialPort open = port;
        Outgoing.Parcel half = inFlight;
        port = null;
        settle();
        if (turn != null) {
            turn.cancel(false);
        }
        if (half != null) {
            waiting.addFirst(half);
        }
        waiting.clear("Instep has ended");
        if (open != null) {
            open.close();
        }
        report.end();
        wires.clear();
    }
}
