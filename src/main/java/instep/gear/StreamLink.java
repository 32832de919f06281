package instep.gear;

import instep.machine.Values;
import io.netty.channel.Channel;
import io.netty.util.concurrent.Future;
import java.net.InetSocketAddress;
import java.util.function.Consumer;
import java.util.function.LongPredicate;
import org.jspecify.annotations.Nullable;

/** One TCP connection, which is made again whenever it is lost, and whatever is spoken over it. Loop thread only. */
final class StreamLink implements Link, Dialer.Caller, Outbox.Owner, Plug.Hearer {
    private final GearSettings.Networked settings;
    private final Plug plug;
    private final Net net;
    private final Report report;
    private final Reasons reasons;
    private final Wire.Cache wires;
    private final Outbox outbox;
    private final Dialer dialer;
    private @Nullable Channel channel;

    /** Nothing happens before {@link #start}. */
    StreamLink(GearSettings.Networked settings, Plug plug, Net net, Report report) {
        this.settings = settings;
        this.plug = plug;
        this.net = net;
        this.report = report;
        this.reasons = new Reasons(settings.name(), settings.host(), settings.port());
        this.wires = new Wire.Cache(plug.encoder(), net.secrets());
        this.outbox = new Outbox(net, report, this);
        this.dialer = new Dialer(
                net,
                net.stream(made -> plug.wire(made, this)),
                InetSocketAddress.createUnresolved(settings.host(), settings.port()),
                this);
    }

    @Override
    public void start() {
        dialer.dial();
    }

    @Override
    public void send(Payload payload, Values values, long ticket) {
        try {
            Wire wire = wires.wire(payload, values);
            outbox.send(new Outgoing.Parcel(wire, ticket, net.nanos() + settings.staleAfterNanos()));
        } catch (IllegalArgumentException e) {
            report.missed(ticket, settings.name(), String.valueOf(e.getMessage()));
        }
        dialer.hurry();
    }

    @Override
    public void withdraw(LongPredicate tickets, String why) {
        outbox.withdraw(tickets, why);
    }

    @Override
    public void reset(String why) {
        lose(reasons.where() + ": " + why);
    }

    @Override
    public boolean isUp() {
        return report.isUp();
    }

    @Override
    public boolean isQuiet() {
        return outbox.isQuiet();
    }

    @Override
    public void close() {
        dialer.close();
        outbox.shut();
        Channel open = channel;
        channel = null;
        Net.close(open);
        outbox.close("Instep has ended");
        report.end();
        wires.clear();
    }

    @Override
    public @Nullable Future<?> agreed(Channel made) {
        return plug.agreed(made);
    }

    @Override
    public void connected(Channel made) {
        channel = made;
        net.giveUpUnacknowledged(made, settings.staleAfterNanos());
        // The listener is told first: what it says in answer queues behind what has waited, and all of it goes out in
        // that order.
        report.up("connected to " + reasons.where());
        if (made == channel) {
            outbox.open(made);
        }
    }

    @Override
    public void failed(Throwable cause) {
        report.lost(reasons.of(cause));
    }

    @Override
    public void broken(Throwable cause) {
        lose(reasons.of(cause));
    }

    @Override
    public void frozen() {
        lose(reasons.frozen(), Net::cut); // what the kernel still holds is stale, too
    }

    @Override
    public void said(Channel on, String text) {
        if (on == channel) {
            report.reply(-1, text);
        }
    }

    @Override
    public void gone(Channel on, @Nullable Throwable cause) {
        if (on == channel) {
            lose(cause == null ? reasons.closed() : reasons.of(cause));
        }
    }

    @Override
    public void useless(Channel on, String why) {
        if (on == channel) {
            lose(reasons.where() + " " + why);
        }
    }

    private void lose(String why) {
        lose(why, Net::close);
    }

    private void lose(String why, Consumer<Channel> end) {
        Channel lost = channel;
        if (lost == null) {
            return;
        }
        channel = null;
        outbox.shut();
        dialer.ended();
        report.lost(why); // before closing, which gives back what was being written, and that is then missed for this
        // reason
        end.accept(lost);
        dialer.dialLater();
    }
}
