package instep.gear;

import instep.machine.Values;
import io.netty.buffer.ByteBuf;
import java.io.IOException;
import java.nio.ByteBuffer;
import java.util.concurrent.ExecutorService;
import java.util.concurrent.Executors;
import java.util.function.LongPredicate;
import org.jspecify.annotations.Nullable;

/**
 * The way to gear of this machine that keeps its writer waiting: lamps, audio outputs. A thread of its own opens it and hands it one message after the other; what
 * becomes of them comes back to the loop, which never waits. Loop thread only.
 */
final class SlowLink implements Link {
    private final GearSettings settings;
    private final Net net;
    private final Report report;
    private final Wire.Cache wires;
    private final Waiting<Outgoing.Parcel> waiting;
    private final ExecutorService writer;
    private final Opening<SlowOutput.Opened> opening;
    private ByteBuffer out = ByteBuffer.allocateDirect(64);
    private SlowOutput.@Nullable Opened opened;
    private Outgoing.@Nullable Parcel inFlight;

    /** Nothing happens before {@link #start}. */
    SlowLink(GearSettings settings, Wire.Encoder encoder, SlowOutput output, Net net, Report report) {
        this.settings = settings;
        this.net = net;
        this.report = report;
        wires = new Wire.Cache(encoder, net.secrets());
        waiting = new Waiting<>(
                net, report, () -> opened == null ? report.lostWhy() : "the message before it has not been taken");
        writer = Executors.newSingleThreadExecutor(task -> {
            Thread thread = new Thread(task, settings.name());
            thread.setDaemon(true);
            return thread;
        });
        opening = new Opening<>(net, report, writer, output::open, this::opened);
    }

    @Override
    public void start() {
        opening.start();
    }

    private void opened(SlowOutput.Opened fresh) {
        if (opening.isClosed()) {
            fresh.close();
            return;
        }
        try {
            fresh.watch(net.loop(), () -> gone(fresh, "it is gone: is its cable in?"));
        } catch (IOException e) {
            opening.lost("it cannot be used: " + e.getMessage());
            return;
        }
        opened = fresh;
        opening.succeeded();
        report.up(fresh.greeting());
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
        SlowOutput.Opened to = opened;
        if (to == null || inFlight != null) {
            return;
        }
        Outgoing.Parcel next = waiting.poll();
        if (next != null) {
            inFlight = next;
            ByteBuffer bytes = filled(next.wire().bytes());
            writer.execute(() -> net.onLoop(written(to, next, bytes)));
        }
    }

    /** The message's own bytes may be released before they are taken, if the program ends. */
    private ByteBuffer filled(ByteBuf bytes) {
        if (out.capacity() < bytes.readableBytes()) {
            out = ByteBuffer.allocateDirect(bytes.readableBytes());
        }
        out.clear().limit(bytes.readableBytes());
        bytes.getBytes(bytes.readerIndex(), out);
        return out.flip();
    }

    /** On the writer's thread; what it gives is run on the loop. */
    private Runnable written(SlowOutput.Opened to, Outgoing.Parcel parcel, ByteBuffer bytes) {
        try {
            SlowOutput.Taken taken = to.take(bytes);
            return () -> settle(parcel, () -> {
                report.sent(parcel, taken.nanos());
                if (taken.reply() != null) {
                    report.reply(parcel.ticket(), taken.reply());
                }
            });
        } catch (UnfitException e) {
            return () -> settle(parcel, () -> missed(parcel, e.why()));
        } catch (IOException e) {
            String why = String.valueOf(e.getMessage());
            return () -> {
                settle(parcel, () -> missed(parcel, why));
                gone(to, why);
            };
        }
    }

    private void missed(Outgoing.Parcel parcel, String why) {
        report.missed(parcel.ticket(), parcel.wire().text(), why);
    }

    private void settle(Outgoing.Parcel parcel, Runnable outcome) {
        if (!opening.isClosed()) {
            inFlight = null;
            outcome.run();
        }
        parcel.wire().release();
        drain();
    }

    private void gone(SlowOutput.Opened lost, String why) {
        if (opened == lost) {
            opened = null;
            lost.unwatch();
            writer.execute(lost::close);
            opening.lost(settings.address() + ": " + why);
        }
    }

    @Override
    public void withdraw(LongPredicate tickets, String why) {
        waiting.withdraw(tickets, why);
    }

    @Override
    public void reset(String why) {
        if (opened != null) {
            gone(opened, why);
        }
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
        if (inFlight != null) {
            missed(inFlight, "Instep has ended before it was taken");
        }
        waiting.clear("Instep has ended");
        SlowOutput.Opened open = opened;
        if (open != null) {
            opened = null;
            open.unwatch();
            writer.execute(open::close);
        }
        writer.shutdown();
        report.end();
        wires.clear();
    }
}
