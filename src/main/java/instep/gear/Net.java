package instep.gear;

import io.netty.bootstrap.Bootstrap;
import io.netty.channel.Channel;
import io.netty.channel.ChannelHandlerContext;
import io.netty.channel.ChannelInitializer;
import io.netty.channel.ChannelOption;
import io.netty.channel.EventLoop;
import io.netty.channel.FixedRecvByteBufAllocator;
import io.netty.channel.IoEventLoop;
import io.netty.channel.epoll.EpollChannelOption;
import io.netty.channel.epoll.EpollDatagramChannel;
import io.netty.channel.epoll.EpollIoHandle;
import io.netty.channel.epoll.EpollSocketChannel;
import io.netty.channel.socket.nio.NioDatagramChannel;
import io.netty.channel.socket.nio.NioSocketChannel;
import io.netty.handler.ssl.SslHandler;
import io.netty.util.concurrent.AbstractScheduledEventExecutor;
import io.netty.util.concurrent.ScheduledFuture;
import io.netty.util.concurrent.Ticker;
import java.net.InetAddress;
import java.net.UnknownHostException;
import java.util.concurrent.RejectedExecutionException;
import java.util.concurrent.TimeUnit;
import java.util.function.Consumer;
import org.jspecify.annotations.Nullable;

/** What every link stands on: the loop, its clock, the kind of socket that fits it, the way names are looked up, the secrets of its gear, and how many messages may wait for it. */
record Net(
        EventLoop loop,
        Ticker ticker,
        boolean epoll,
        Names names,
        Secrets secrets,
        int queue,
        @Nullable Tap tap) {
    /** Without a tap, and without secrets. */
    Net(EventLoop loop, Ticker ticker, boolean epoll, Names names) {
        this(loop, ticker, epoll, names, Secrets.NONE, Listening.QUEUE, null);
    }

    /** Finds the addresses of a host; may take long, so never called on the loop. */
    @FunctionalInterface
    interface Names {
        InetAddress[] lookUp(String host) throws UnknownHostException;
    }

    static final int CONNECT_TIMEOUT_MILLIS = 2_000;

    /** A reply fits in this; it bounds what one device can make the loop read at a time. */
    private static final int READ_BYTES = 2_048;

    /** Small on purpose: what the kernel holds for a device that has stopped reading is what it would act on too late. */
    private static final int SEND_BUFFER_BYTES = 32 * 1_024;

    /** With less, a single packet lost on the way would end the connection. */
    private static final long SHORTEST_UNANSWERED_MILLIS = 250;

    static Net of(EventLoop loop) {
        Ticker ticker = loop instanceof AbstractScheduledEventExecutor own ? own.ticker() : Ticker.systemTicker();
        boolean epoll = loop instanceof IoEventLoop io && io.isCompatible(EpollIoHandle.class);
        return new Net(loop, ticker, epoll, InetAddress::getAllByName);
    }

    /** The same, and the tap sees what passes. */
    Net with(Tap seeing) {
        return new Net(loop, ticker, epoll, names, secrets, queue, seeing);
    }

    /** The same for a link on which those may be told. */
    Net knowing(Secrets told) {
        return new Net(loop, ticker, epoll, names, told, queue, tap);
    }

    /** The same for a link for which so many messages may wait. */
    Net queueing(int most) {
        return new Net(loop, ticker, epoll, names, secrets, most, tap);
    }

    /** The same, and the tap sees nothing of what that report hides. */
    Net hiding(Report report) {
        return tap == null ? this : with((out, bytes) -> tap.bytes(out, report.shown(out, bytes)));
    }

    /** Puts the tap into a connection that has just been made, if there is one: what TLS makes of the bytes would tell nobody anything. */
    void tap(Channel channel) {
        if (tap == null) {
            return;
        }
        ChannelHandlerContext tls = channel.pipeline().context(SslHandler.class);
        if (tls == null) {
            channel.pipeline().addFirst(new TapHandler(tap));
        } else {
            channel.pipeline().addAfter(tls.name(), null, new TapHandler(tap));
        }
    }

    long nanos() {
        return ticker.nanoTime();
    }

    /** Has the loop do it, from another thread; nobody does it once the program is ending, which ends what it was about, too. */
    void onLoop(Runnable task) {
        try {
            loop.execute(task);
        } catch (RejectedExecutionException e) {
            // the program is ending
        }
    }

    ScheduledFuture<?> after(long nanos, Runnable task) {
        return loop.schedule(task, Math.max(0, nanos), TimeUnit.NANOSECONDS);
    }

    /** Connections over TCP, each of which {@code wire} gives its handlers. */
    Bootstrap stream(Consumer<Channel> wire) {
        Bootstrap bootstrap = new Bootstrap()
                .handler(new ChannelInitializer<>() {
                    @Override
                    protected void initChannel(Channel channel) {
                        wire.accept(channel);
                    }
                })
                .group(loop)
                .channel(epoll ? EpollSocketChannel.class : NioSocketChannel.class)
                .disableResolver()
                .option(ChannelOption.TCP_NODELAY, true)
                .option(ChannelOption.SO_KEEPALIVE, true)
                .option(ChannelOption.SO_SNDBUF, SEND_BUFFER_BYTES)
                .option(ChannelOption.CONNECT_TIMEOUT_MILLIS, CONNECT_TIMEOUT_MILLIS)
                .option(ChannelOption.RECVBUF_ALLOCATOR, new FixedRecvByteBufAllocator(READ_BYTES));
        if (epoll) { // an unplugged device is known within seconds, and nothing of this wakes the program
            bootstrap
                    .option(EpollChannelOption.TCP_KEEPIDLE, 5)
                    .option(EpollChannelOption.TCP_KEEPINTVL, 2)
                    .option(EpollChannelOption.TCP_KEEPCNT, 2);
        }
        return bootstrap;
    }

    Bootstrap datagram() {
        return new Bootstrap()
                .group(loop)
                .channel(epoll ? EpollDatagramChannel.class : NioDatagramChannel.class)
                .disableResolver()
                .option(ChannelOption.RECVBUF_ALLOCATOR, new FixedRecvByteBufAllocator(READ_BYTES));
    }

    /**
     * Has the kernel give the connection up when the other side has not acknowledged bytes for so long. Without it, a cable put back after
     * ten seconds would deliver ten seconds of old cuts. Set only once connected: before, it would cut the first attempt short. Epoll only.
     */
    void giveUpUnacknowledged(Channel channel, long staleAfterNanos) {
        if (epoll) {
            long millis = Math.max(SHORTEST_UNANSWERED_MILLIS, TimeUnit.NANOSECONDS.toMillis(staleAfterNanos));
            channel.config().setOption(EpollChannelOption.TCP_USER_TIMEOUT, (int) Math.min(millis, 60_000));
        }
    }

    /**
     * Ends it at once, past whatever would still be said by TLS or a WebSocket, and has the kernel throw away what it holds for the other side.
     */
    static void cut(@Nullable Channel channel) {
        if (channel != null && channel.isOpen()) {
            channel.config().setOption(ChannelOption.SO_LINGER, 0);
            channel.unsafe().close(channel.voidPromise());
        }
    }

    /** Closes it; nobody waits for that. */
    @SuppressWarnings("FutureReturnValueIgnored")
    static void close(@Nullable Channel channel) {
        if (channel != null) {
            channel.close();
        }
    }
}
