package instep.gear;

import io.netty.buffer.ByteBuf;
import io.netty.channel.Channel;
import io.netty.channel.ChannelFuture;
import io.netty.channel.epoll.EpollSocketChannel;
import io.netty.util.concurrent.ScheduledFuture;
import java.io.IOException;
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
    private final boolean isPlain;
    private final Waiting<Outgoing.Parcel> waiting;
    private @Nullable Channel channel;
    private Outgoing.@Nullable Parcel inFlight;
    private @Nullable ScheduledFuture<?> patience;

    /**
     * Reports to {@code report} and asks {@code owner} to end a bad connection.
     *
     * @param isPlain whether messages are the very bytes that go over the connection, and nobody else writes there
     */
    Outbox(Net net, Report report, Owner owner, boolean isPlain) {
        this.net = net;
        this.report = report;
        this.owner = owner;
        this.isPlain = isPlain;
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
        ByteBuf rest = parcel.wire().copy();
        if (isPlain && isTaken(to, rest)) {
            rest.release();
            parcel.wire().release();
            report.sent(parcel);
            return;
        }
        inFlight = parcel;
        ChannelFuture future = to.writeAndFlush(rest);
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

    /**
     * Gives bytes straight to the socket, past Netty's queue, which is empty then: a press is on the wire a twentieth sooner. What the socket does not take is left in the buffer.
     */
    private static boolean isTaken(Channel to, ByteBuf bytes) {
        // The descriptor of a closed channel may be another file's by now.
        if (to instanceof EpollSocketChannel socket && to.isActive() && bytes.hasMemoryAddress()) {
            try {
                bytes.skipBytes(
                        socket.fd().writeAddress(bytes.memoryAddress(), bytes.readerIndex(), bytes.writerIndex()));
            } catch (IOException e) {
                return false; // Netty will find the same, and knows what to do about it
            }
        }
        return !bytes.isReadable();
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
