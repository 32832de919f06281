package instep.gear;

import instep.machine.Values;
import io.netty.buffer.ByteBuf;
import io.netty.buffer.ByteBufUtil;
import io.netty.channel.Channel;
import io.netty.channel.ChannelHandlerContext;
import io.netty.channel.ChannelInboundHandlerAdapter;
import io.netty.channel.ChannelInitializer;
import io.netty.channel.ChannelOption;
import java.net.InetSocketAddress;
import java.nio.charset.StandardCharsets;
import java.util.function.LongPredicate;
import org.jspecify.annotations.Nullable;

/** Text lines or bytes over one TCP connection, which is made again whenever it is lost. Loop thread only. */
final class TcpLink implements Link, Dialer.Caller, Outbox.Owner {
    private final GearSettings.Tcp settings;
    private final Net net;
    private final Report report;
    private final Reasons reasons;
    private final Wire.Cache wires;
    private final Outbox outbox;
    private final Dialer dialer;
    private @Nullable Channel channel;

    /** Nothing happens before {@link #start}. */
    TcpLink(GearSettings.Tcp settings, Net net, Report report) {
        this.settings = settings;
        this.net = net;
        this.report = report;
        this.reasons = new Reasons(settings.name(), settings.host(), settings.port());
        this.wires = new Wire.Cache(new TcpEncoder(settings.lineEnd().characters()));
        this.outbox = new Outbox(net, report, this);
        this.dialer = new Dialer(
                net,
                net.stream().handler(new ChannelInitializer<>() {
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
        if (channel != null) {
            channel.config().setOption(ChannelOption.SO_LINGER, 0); // what the kernel still holds is stale, too
        }
        lose(reasons.frozen());
    }

    private void lose(String why) {
        Channel lost = channel;
        if (lost == null) {
            return;
        }
        channel = null;
        outbox.shut();
        dialer.ended();
        report.lost(why); // before closing, which gives back what was being written, and that is then missed for this
        // reason
        Net.close(lost);
        dialer.dialLater();
    }

    /** Hears what one connection says. */
    private final class Ears extends ChannelInboundHandlerAdapter {
        private final Lines lines = new Lines(line -> report.reply(-1, line));

        @Override
        public void channelRead(ChannelHandlerContext ctx, Object msg) {
            ByteBuf bytes = (ByteBuf) msg;
            try {
                if (settings.lineEnd() == GearSettings.LineEnd.NONE) {
                    report.reply(-1, chunk(bytes));
                } else if (!lines.take(bytes)) {
                    lose(reasons.where() + " sent more than " + Lines.LONGEST_BYTES
                            + " bytes without a line end: if it does not speak in lines, write line-end: none");
                }
            } finally {
                bytes.release();
            }
        }

        @Override
        public void channelInactive(ChannelHandlerContext ctx) {
            if (ctx.channel() == channel) {
                lose(reasons.closed());
            }
        }

        @Override
        public void exceptionCaught(ChannelHandlerContext ctx, Throwable cause) {
            if (ctx.channel() == channel) {
                lose(reasons.of(cause));
            }
        }

        /** Without lines, what comes in one piece is one reply: text if it reads as text, else hex. */
        private String chunk(ByteBuf bytes) {
            boolean text = bytes.forEachByte(b -> b >= ' ' || b == '\r' || b == '\n' || b == '\t') < 0;
            return text
                    ? Lines.printable(bytes.toString(StandardCharsets.US_ASCII).strip())
                    : "hex " + ByteBufUtil.hexDump(bytes);
        }
    }
}
