package instep.gear;

import io.netty.channel.Channel;
import io.netty.channel.ChannelFuture;
import java.util.concurrent.TimeUnit;
import org.jspecify.annotations.Nullable;

/** A connection to a server that is asked one thing at a time: what waits for its answer on it, and what it has been good for so far. Loop thread only. */
final class HttpConnection {
    /** An older one may have been closed by the server as idle, while the request was on its way. */
    private static final long YOUNG_NANOS = TimeUnit.SECONDS.toNanos(1);

    private final Channel channel;
    private final long since;
    private @Nullable Exchange current;
    private int served;

    HttpConnection(Channel channel, long since) {
        this.channel = channel;
        this.since = since;
    }

    Channel channel() {
        return channel;
    }

    /** What waits for an answer; null if nothing does. */
    @Nullable Exchange current() {
        return current;
    }

    /** Asks that, while nothing else is asked. */
    ChannelFuture ask(Exchange exchange) {
        current = exchange;
        return channel.writeAndFlush(exchange.wire().copy());
    }

    void answered() {
        current = null;
        served++;
    }

    /** Whether it has brought an answer. */
    boolean isUsed() {
        return served > 0;
    }

    /** Whether its end may have nothing to do with what was asked last. */
    boolean wasKept(long now) {
        return isUsed() || now - since >= YOUNG_NANOS;
    }
}
