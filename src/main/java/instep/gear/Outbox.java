package instep.gear;

import io.netty.channel.Channel;
import io.netty.channel.ChannelFuture;
import io.netty.util.concurrent.ScheduledFuture;
import java.util.function.LongPredicate;
import org.jspecify.annotations.Nullable;

/**
 * What goes out on one connection, in order. A message is given to the socket at once where the socket takes it; only one that the socket did not
 * take whole is ever in Netty's hands, because from there it could not be called back when it becomes stale. Loop thread only.
 */
final class Outbox {
    /** Whose connection it is. */
    interface Owner {
        /** A write failed: the connection is of no more use. */
        void broken(Throwable cause);

        /** The other side has taken nothing for as long as a message may wait. The connection must go, so that it never takes that message. */
        void frozen();
    }

    private final Net net;
    private final Report report;
    private final Owner owner;
    private final Waiting<Outgoing.Parcel> waiting;
    private @Nullable Channel channel;
    private Outgoing.@Nullable Parcel inFlight;
    private @Nullable ScheduledFuture<?> patience;

    /** Reports to {@code report} and asks {@code owner} to end a bad connection. */
    Outbox(Net net, Report report, Owner owner) {
        this.net = net;
        this.report = report;
        this.owner = owner;
        this.waiting = new Waiting<>(
                net, report, () -> channel == null ? report.lostWhy() : "the bytes before it have not been taken");
    }

    void send(Outgoing.Parcel parcel) {
        Channel now = channel;
        if (now != null && inFlight == null && waiting.isEmpty()) {
            write(now, parcel);
        } else {
            waiting.add(parcel);
        }
    }

    void withdraw(LongPredicate tickets, String why) {
        waiting.withdraw(tickets, why);
    }

    boolean isQuiet() {
        return inFlight == null && waiting.isEmpty();
    }

    /** There is a connection: what waited goes out. */
    void open(Channel opened) {
        channel = opened;
        drain();
    }

    /** The connection is gone: what comes now waits for the next. */
    void shut() {
        channel = null;
    }

    void close(String why) {
        shut();
        waiting.clear(why);
    }

    private void drain() {
        while (channel != null && inFlight == null) {
            Outgoing.Parcel next = waiting.poll();
            if (next == null) {
                return;
            }
            write(channel, next);
        }
    }

    private void write(Channel to, Outgoing.Parcel parcel) {
        inFlight = parcel;
        ChannelFuture future = to.writeAndFlush(parcel.wire().copy());
        if (future.isDone()) {
            done(parcel, future);
            return;
        }
        patience = net.after(parcel.deadline() - net.nanos(), owner::frozen);
        future.addListener((ChannelFuture late) -> {
            done(parcel, late);
            drain();
        });
    }

    private void done(Outgoing.Parcel parcel, ChannelFuture future) {
        inFlight = null;
        if (patience != null) {
            patience.cancel(false);
            patience = null;
        }
        if (future.isSuccess()) {
            parcel.wire().release();
            report.sent(parcel);
        } else {
            // The other side has not had all of it, so it may still go out on the next connection, if that comes in
            // time.
            waiting.addFirst(parcel);
            owner.broken(future.cause());
        }
    }
}
