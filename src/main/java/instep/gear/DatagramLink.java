package instep.gear;

import instep.machine.Values;
import io.netty.channel.Channel;
import io.netty.channel.ChannelFuture;
import io.netty.channel.ChannelHandlerContext;
import io.netty.channel.ChannelInboundHandlerAdapter;
import io.netty.channel.ChannelInitializer;
import io.netty.channel.socket.DatagramPacket;
import io.netty.util.ReferenceCountUtil;
import io.netty.util.concurrent.ScheduledFuture;
import java.io.IOException;
import java.net.InetSocketAddress;
import java.net.PortUnreachableException;
import java.util.concurrent.TimeUnit;
import java.util.function.LongPredicate;
import org.jspecify.annotations.Nullable;

/**
 * Messages in UDP datagrams. UDP never says that a message has arrived; at most the other machine says that nobody took it. So the link is up once
 * there is a socket, lost at the first refusal, and up again when messages have gone unrefused for some seconds. In between each message is still
 * sent, without a word about it. Loop thread only.
 */
final class DatagramLink implements Link, Dialer.Caller {
    /** Longer than a refusal takes, even when the other machine limits how many it sends (one a second on Linux). */
    private static final long UNREFUSED_NANOS = TimeUnit.SECONDS.toNanos(4);

    private final GearSettings.Networked settings;
    private final Pieces.Reading reading;
    private final Net net;
    private final Report report;
    private final Reasons reasons;
    private final Wire.Cache wires;
    private final Waiting<Outgoing.Parcel> waiting;
    private final Dialer dialer;
    private @Nullable Channel channel;
    private @Nullable ScheduledFuture<?> unrefused;

    /** Nothing happens before {@link #start}. */
    DatagramLink(
            GearSettings.Networked settings, Wire.Encoder encoder, Pieces.Reading reading, Net net, Report report) {
        this.settings = settings;
        this.reading = reading;
        this.wires = new Wire.Cache(encoder, net.secrets());
        this.net = net;
        this.report = report;
        this.reasons = new Reasons(settings.name(), settings.host(), settings.port());
        this.waiting = new Waiting<>(net, report, report::lostWhy);
        this.dialer = new Dialer(
                net,
                net.datagram().handler(new ChannelInitializer<>() {
                    @Override
                    protected void initChannel(Channel ch) {
                        ch.pipeline().addLast(new Ears());
                    }
                }),
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
            Outgoing.Parcel parcel = new Outgoing.Parcel(wire, ticket, net.nanos() + settings.staleAfterNanos());
            if (channel == null || !waiting.isEmpty()) {
                waiting.add(parcel);
                dialer.hurry();
            } else {
                write(channel, parcel, false);
            }
        } catch (IllegalArgumentException e) {
            report.missed(ticket, settings.name(), String.valueOf(e.getMessage()));
        }
    }

    @Override
    public void withdraw(LongPredicate tickets, String why) {
        waiting.withdraw(tickets, why);
    }

    @Override
    public void reset(String why) {
        if (channel != null) {
            shut();
            report.lost(reasons.where() + ": " + why);
            dialer.dialLater();
        }
    }

    @Override
    public boolean isUp() {
        return report.isUp();
    }

    @Override
    public boolean isQuiet() {
        return waiting.isEmpty();
    }

    @Override
    public void close() {
        dialer.close();
        waiting.clear("Instep has ended");
        report.end();
        shut();
        wires.clear();
    }

    @Override
    public void connected(Channel made) {
        channel = made;
        report.up("messages go to " + reasons.where() + " (UDP gives no receipt)");
        Outgoing.Parcel next;
        while (made == channel && (next = waiting.poll()) != null) {
            write(made, next, false);
        }
    }

    @Override
    public void failed(Throwable cause) {
        report.lost(reasons.of(cause));
    }

    private void write(Channel to, Outgoing.Parcel parcel, boolean again) {
        ChannelFuture future = to.writeAndFlush(parcel.wire().copy());
        if (future.isDone()) {
            written(to, parcel, again, future);
        } else {
            future.addListener((ChannelFuture late) -> written(to, parcel, again, late));
        }
    }

    private void written(Channel to, Outgoing.Parcel parcel, boolean again, ChannelFuture future) {
        Throwable cause = future.cause();
        if (cause == null) {
            parcel.wire().release();
            report.sent(parcel);
            hopeFor();
        } else if (isRefusal(cause) && !again) { // what was refused is an earlier one; this one has not been tried
            refused(cause);
            write(to, parcel, true);
        } else {
            parcel.wire().release();
            report.missed(parcel.ticket(), parcel.wire().text(), reasons.of(cause));
            reopen(to, cause);
        }
    }

    /** After a loss, silence for some seconds after a message is the best news that UDP has. */
    private void hopeFor() {
        if (!report.isUp() && unrefused == null) {
            unrefused = net.after(UNREFUSED_NANOS, () -> {
                unrefused = null;
                report.up(reasons.where() + " refuses messages no longer");
            });
        }
    }

    private void refused(Throwable cause) {
        giveUpHope();
        report.lost(reasons.of(cause));
    }

    private void giveUpHope() {
        if (unrefused != null) {
            unrefused.cancel(false);
            unrefused = null;
        }
    }

    /** A socket that cannot send any more may be bound to an address that this machine no longer has: a new one may do. */
    private void reopen(Channel broken, Throwable cause) {
        if (broken == channel) {
            shut();
            report.lost(reasons.of(cause));
            dialer.dialLater();
        }
    }

    private void shut() {
        giveUpHope();
        Channel open = channel;
        channel = null;
        Net.close(open);
    }

    private static boolean isRefusal(Throwable cause) {
        return cause instanceof PortUnreachableException;
    }

    /** Hears refusals, and what the gear sends back to where messages come from. */
    private final class Ears extends ChannelInboundHandlerAdapter {
        @Override
        public void channelRead(ChannelHandlerContext ctx, Object msg) {
            try {
                if (msg instanceof DatagramPacket packet && ctx.channel() == channel) {
                    reading.read(packet.content(), text -> report.reply(-1, text));
                }
            } finally {
                ReferenceCountUtil.release(msg);
            }
        }

        @Override
        public void channelInactive(ChannelHandlerContext ctx) {
            reopen(ctx.channel(), new IOException("the socket was closed"));
        }

        @Override
        public void exceptionCaught(ChannelHandlerContext ctx, Throwable cause) {
            Reasons.endIfFatal(cause);
            if (ctx.channel() != channel) {
                return;
            }
            if (isRefusal(cause)) {
                refused(cause);
            } else {
                reopen(ctx.channel(), cause);
            }
        }
    }
}
