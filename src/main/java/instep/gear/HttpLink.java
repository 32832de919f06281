package instep.gear;

import instep.machine.Values;
import io.netty.channel.Channel;
import io.netty.channel.ChannelFuture;
import io.netty.util.concurrent.Future;
import java.net.InetSocketAddress;
import java.util.concurrent.TimeUnit;
import java.util.function.LongPredicate;
import org.jspecify.annotations.Nullable;

/**
 * Requests to one HTTP/1.1 server, one at a time on one connection that is kept. The server may close it when it is idle; the link is still up then, and
 * the next request connects again. Loop thread only.
 *
 * <p>Only where it does no harm is a request sent a second time by itself: when a kept connection turns out to have been closed before one byte of
 * an answer, the method is idempotent and the request is not stale (RFC 9110, section 9.2.2; RFC 9112, section 9.3.1).
 */
final class HttpLink implements Link, Dialer.Caller, HttpEars.Owner {
    /** A connection older than this may have been closed by the server as idle, while the request was on its way. */
    private static final long YOUNG_NANOS = TimeUnit.SECONDS.toNanos(1);

    private final GearSettings.Http settings;
    private final Net net;
    private final Report report;
    private final Reasons reasons;
    private final Wire.Cache wires;
    private final Waiting<Exchange> waiting;
    private final Dialer dialer;
    private final @Nullable Secure secure;
    private @Nullable Channel channel;
    private @Nullable Exchange current;
    private int served;
    private long connectedAt;

    /** Nothing happens before {@link #start}. Blocks on the files of TLS and of a secret, if there are any. */
    HttpLink(GearSettings.Http settings, Net net, Report report) throws UnfitException {
        this.settings = settings;
        this.net = net;
        this.report = report;
        this.reasons = new Reasons(settings.name(), settings.host(), settings.port());
        this.secure = Secure.to(settings, settings.access().tls());
        this.wires = new Wire.Cache(
                new HttpEncoder(settings, settings.access().authorization(report), net.secrets()), net.secrets());
        this.waiting = new Waiting<>(net, report, this::whyWaiting);
        this.dialer = new Dialer(
                net,
                net.stream(this::wire),
                InetSocketAddress.createUnresolved(settings.host(), settings.port()),
                this);
    }

    private void wire(Channel made) {
        HttpEars.listen(made, this);
        if (secure != null) {
            secure.wire(made);
        }
    }

    @Override
    public void start() {
        dialer.dial();
    }

    @Override
    public void send(Payload payload, Values values, long ticket) {
        try {
            Wire wire = wires.wire(payload, values);
            long deadline = net.nanos() + settings.staleAfterNanos();
            waiting.add(new Exchange((Payload.Http) payload, wire, ticket, deadline));
        } catch (IllegalArgumentException e) {
            report.missed(ticket, settings.name(), String.valueOf(e.getMessage()));
        }
        next();
    }

    @Override
    public void withdraw(LongPredicate tickets, String why) {
        waiting.withdraw(tickets, why);
    }

    @Override
    public void reset(String why) {
        Exchange unanswered = letGo();
        report.lost(reasons.where() + ": " + why);
        if (unanswered != null) {
            fail(unanswered, why);
        }
        dialer.dialLater();
    }

    @Override
    public boolean isUp() {
        return report.isUp();
    }

    @Override
    public boolean isQuiet() {
        return current == null && waiting.isEmpty();
    }

    @Override
    public void close() {
        dialer.close();
        waiting.clear("Instep has ended");
        Exchange unanswered = letGo();
        if (unanswered != null) {
            fail(unanswered, "Instep has ended before an answer came");
        }
        report.end();
        wires.clear();
    }

    @Override
    public @Nullable Future<?> agreed(Channel made) {
        return secure == null ? null : Secure.agreed(made);
    }

    @Override
    public void connected(Channel made) {
        served = 0;
        connectedAt = net.nanos();
        net.giveUpUnacknowledged(made, settings.staleAfterNanos());
        channel = made;
        report.up("connected to " + reasons.where());
        next();
    }

    @Override
    public void failed(Throwable cause) {
        report.lost(reasons.of(cause));
    }

    @Override
    public @Nullable Exchange current(Channel of) {
        return of == channel ? current : null;
    }

    @Override
    public void answered(Exchange exchange, boolean keepConnection) {
        current = null;
        served++;
        exchange.waitWith(null);
        if (!keepConnection || !exchange.isSent()) {
            shut();
        }
        if (exchange.isRedirected() && Redirection.follows(exchange, settings)) {
            waiting.addFirst(exchange);
            next();
            return;
        }
        exchange.wire().release();
        if (exchange.isDone()) {
            exchange.whole().ifPresent(body -> report.answer(exchange.ticket(), body));
            report.reply(exchange.ticket(), exchange.outcome());
        } else {
            report.refused(exchange.ticket(), false, exchange.outcome());
        }
        next();
    }

    @Override
    public void gone(Channel of, @Nullable Throwable cause) {
        if (of == channel) {
            drop(cause == null ? reasons.closed() : reasons.of(cause));
        }
    }

    @Override
    public void rubbish(Channel of, String what) {
        if (of == channel) {
            Exchange exchange = letGo();
            if (exchange != null) {
                fail(exchange, reasons.where() + " " + what);
            }
            next();
        }
    }

    private String whyWaiting() {
        if (!report.isUp()) {
            return report.lostWhy();
        }
        return current == null
                ? "no connection to " + reasons.where() + " in time"
                : "the request before it is not answered";
    }

    private void next() {
        while (current == null) {
            Channel open = channel;
            if (open == null) {
                connectSoon();
                return;
            }
            Exchange exchange = waiting.poll();
            if (exchange == null) {
                return;
            }
            write(open, exchange);
        }
    }

    private void connectSoon() {
        if (!waiting.isEmpty() && report.isUp()) {
            dialer.dial();
        } else if (!waiting.isEmpty()) {
            dialer.hurry();
        }
    }

    private void write(Channel to, Exchange exchange) {
        current = exchange;
        ChannelFuture future = to.writeAndFlush(exchange.wire().copy());
        if (future.isDone()) {
            written(exchange, future);
        } else {
            exchange.waitWith(net.after(exchange.deadline() - net.nanos(), () -> frozen(to, exchange)));
            future.addListener((ChannelFuture late) -> written(exchange, late));
        }
    }

    private void written(Exchange exchange, ChannelFuture future) {
        if (exchange != current) {
            return;
        }
        if (!future.isSuccess()) { // not all of it left this machine, so nothing was done with it
            letGo();
            exchange.waitWith(null);
            waiting.addFirst(exchange);
            next();
            return;
        }
        long within = exchange.withinNanos(settings.withinNanos());
        exchange.waitWith(net.after(within, () -> silent(exchange, within)));
        if (exchange.markSent()) {
            report.sent(exchange);
        }
    }

    /** The server takes no more bytes, and what it has not taken by now it must not get later. */
    private void frozen(Channel to, Exchange exchange) {
        if (exchange == current) {
            current = null;
            Net.cut(to);
            shut();
            report.lost(reasons.frozen());
            exchange.wire().release();
            report.missed(exchange.ticket(), exchange.wire().text(), reasons.frozen());
            dialer.dialLater();
        }
    }

    private void silent(Exchange exchange, long within) {
        if (exchange == current) {
            current = null;
            shut(); // an answer that comes now would be taken for that of the next request
            fail(exchange, "no answer within " + TimeUnit.NANOSECONDS.toMillis(within) + " ms");
            next();
        }
    }

    private void drop(String why) {
        boolean kept = served > 0 || net.nanos() - connectedAt >= YOUNG_NANOS;
        boolean used = served > 0;
        Exchange exchange = letGo();
        if (exchange != null && kept && exchange.mayRepeat()) {
            exchange.waitWith(null);
            waiting.addFirst(exchange);
        } else if (exchange != null) {
            fail(exchange, why + " before an answer came");
        }
        if (exchange != null || used) {
            dialer.dialLater(); // is it only idle, or is it off? One more connection tells, before the next take does
        }
        next();
    }

    private void fail(Exchange exchange, String why) {
        exchange.waitWith(null);
        exchange.wire().release();
        report.refused(exchange.ticket(), true, why);
    }

    /** Ends the connection; what was asked on it is not answered any more. */
    private @Nullable Exchange letGo() {
        Exchange unanswered = current;
        current = null;
        shut();
        return unanswered;
    }

    private void shut() {
        Channel open = channel;
        channel = null;
        if (open != null) {
            Net.close(open);
            dialer.ended();
        }
    }
}
