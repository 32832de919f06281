package instep.gear;

import instep.machine.Values;
import io.netty.channel.Channel;
import io.netty.channel.ChannelFuture;
import io.netty.util.concurrent.Future;
import java.net.InetSocketAddress;
import java.util.concurrent.TimeUnit;
import java.util.function.Consumer;
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
    private final GearSettings.Http settings;
    private final Net net;
    private final Report report;
    private final Reasons reasons;
    private final Wire.Cache wires;
    private final Waiting<Exchange> waiting;
    private final Dialer dialer;
    private final @Nullable Secure secure;
    private @Nullable HttpConnection connection;

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
            unanswered.fail(report, why);
        }
        dialer.dialLater();
    }

    @Override
    public boolean isUp() {
        return report.isUp();
    }

    @Override
    public boolean isQuiet() {
        return current() == null && waiting.isEmpty();
    }

    @Override
    public void close() {
        dialer.close();
        waiting.clear("Instep has ended");
        Exchange unanswered = letGo();
        if (unanswered != null) {
            unanswered.fail(report, "Instep has ended before an answer came");
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
        net.giveUpUnacknowledged(made, settings.staleAfterNanos());
        connection = new HttpConnection(made, net.nanos());
        report.up("connected to " + reasons.where());
        next();
    }

    @Override
    public void failed(Throwable cause) {
        report.lost(reasons.of(cause));
    }

    @Override
    public @Nullable Exchange current(Channel of) {
        return isOn(of) ? current() : null;
    }

    private boolean isOn(Channel one) {
        return connection != null && connection.channel() == one;
    }

    private @Nullable Exchange current() {
        return connection == null ? null : connection.current();
    }

    @Override
    public void answered(Exchange exchange, boolean keepConnection) {
        if (connection != null) {
            connection.answered();
        }
        exchange.waitWith(null);
        if (!keepConnection || !exchange.isSent()) {
            shut(Net::close);
        }
        if (exchange.isRedirected() && Redirection.follows(exchange, settings)) {
            waiting.addFirst(exchange);
            next();
            return;
        }
        exchange.tell(report);
        next();
    }

    @Override
    public void gone(Channel of, @Nullable Throwable cause) {
        if (connection != null && isOn(of)) {
            drop(connection, cause == null ? reasons.closed() : reasons.of(cause));
        }
    }

    @Override
    public void rubbish(Channel of, String what) {
        if (isOn(of)) {
            Exchange exchange = letGo();
            if (exchange != null) {
                exchange.fail(report, reasons.where() + " " + what);
            }
            next();
        }
    }

    private String whyWaiting() {
        if (!report.isUp()) {
            return report.lostWhy();
        }
        return current() == null
                ? "no connection to " + reasons.where() + " in time"
                : "the request before it is not answered";
    }

    private void next() {
        while (current() == null) {
            HttpConnection open = connection;
            if (open == null) {
                connectSoon();
                return;
            }
            Exchange exchange = waiting.poll();
            if (exchange == null) {
                return;
            }
            ask(open, exchange);
        }
    }

    private void connectSoon() {
        if (!waiting.isEmpty() && report.isUp()) {
            dialer.dial();
        } else if (!waiting.isEmpty()) {
            dialer.hurry();
        }
    }

    private void ask(HttpConnection on, Exchange exchange) {
        ChannelFuture future = on.ask(exchange);
        if (future.isDone()) {
            written(exchange, future);
        } else {
            exchange.waitWith(net.after(exchange.deadline() - net.nanos(), () -> frozen(exchange)));
            future.addListener((ChannelFuture late) -> written(exchange, late));
        }
    }

    private void written(Exchange exchange, ChannelFuture future) {
        if (exchange != current()) {
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
    private void frozen(Exchange exchange) {
        if (exchange == current()) {
            shut(Net::cut);
            report.lost(reasons.frozen());
            exchange.wire().release();
            report.missed(exchange.ticket(), exchange.wire().text(), reasons.frozen());
            dialer.dialLater();
        }
    }

    private void silent(Exchange exchange, long within) {
        if (exchange == current()) {
            shut(Net::close); // an answer that comes now would be taken for that of the next request
            exchange.fail(report, "no answer within " + TimeUnit.NANOSECONDS.toMillis(within) + " ms");
            next();
        }
    }

    private void drop(HttpConnection ended, String why) {
        boolean kept = ended.wasKept(net.nanos());
        Exchange exchange = letGo();
        if (exchange != null && kept && exchange.mayRepeat()) {
            exchange.waitWith(null);
            waiting.addFirst(exchange);
        } else if (exchange != null) {
            exchange.fail(report, why + " before an answer came");
        }
        if (exchange != null || ended.isUsed()) {
            dialer.dialLater(); // is it only idle, or is it off? One more connection tells, before the next take does
        }
        next();
    }

    /** Ends the connection; what was asked on it is not answered any more. */
    private @Nullable Exchange letGo() {
        Exchange unanswered = current();
        shut(Net::close);
        return unanswered;
    }

    private void shut(Consumer<Channel> end) {
        HttpConnection open = connection;
        connection = null; // first, so that what ends with it is not held to be asked any more
        if (open != null) {
            end.accept(open.channel());
            dialer.ended();
        }
    }
}
