package instep.input;

import instep.input.InputListener.DeviceState;
import io.netty.bootstrap.Bootstrap;
import io.netty.bootstrap.ServerBootstrap;
import io.netty.channel.Channel;
import io.netty.channel.ChannelFuture;
import io.netty.channel.ChannelInitializer;
import io.netty.channel.ChannelOption;
import io.netty.channel.ChannelPipeline;
import io.netty.channel.FixedRecvByteBufAllocator;
import io.netty.channel.IoEventLoop;
import io.netty.channel.epoll.EpollChannelOption;
import io.netty.channel.epoll.EpollDatagramChannel;
import io.netty.channel.epoll.EpollIoHandle;
import io.netty.channel.epoll.EpollServerSocketChannel;
import io.netty.channel.socket.nio.NioDatagramChannel;
import io.netty.channel.socket.nio.NioServerSocketChannel;
import io.netty.handler.codec.LineBasedFrameDecoder;
import io.netty.handler.codec.http.HttpServerCodec;
import io.netty.handler.timeout.IdleStateHandler;
import io.netty.util.concurrent.Future;
import java.io.IOException;
import java.net.InetAddress;
import java.net.InetSocketAddress;
import java.util.HashSet;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.concurrent.Executor;
import java.util.concurrent.TimeUnit;
import org.jspecify.annotations.Nullable;

/**
 * A port to which contacts come over the network: opened, tried again while it cannot be, and closed with all who are connected. What is read in one turn of the loop
 * is bounded by Netty, so that a flood keeps nobody else waiting. Loop thread only.
 */
final class Door {
    static final int MOST_PEERS = 16;
    private static final int READ_BYTES = 1_024;
    private static final int HEADER_BYTES = 4_096;
    /** Who asks for nothing for so long over HTTP is sent away. */
    static final long IDLE_MILLIS = 10_000;

    private static final long FIRST_RETRY_MILLIS = 500;
    private static final long LONGEST_RETRY_MILLIS = 5_000;

    private final PedalSettings.Network settings;
    private final IoEventLoop loop;
    private final boolean epoll;
    private final Executor background;
    private final Seat listener;
    private final long idleMillis;
    private final NetContacts contacts;
    private final Oddities oddities;
    private final Set<Channel> peers = new HashSet<>();
    private final Map<String, Integer> names = new LinkedHashMap<>();
    private final Map<String, LineDoor.Known> lines;

    private @Nullable Channel channel;
    private @Nullable Future<?> silence;
    private String told = "";
    private long retryMillis = FIRST_RETRY_MILLIS;
    private boolean closed;

    Door(PedalSettings.Network settings, IoEventLoop loop, Executor background, Seat listener, long idleMillis) {
        this.settings = settings;
        this.loop = loop;
        this.background = background;
        this.listener = listener;
        this.idleMillis = idleMillis;
        epoll = loop.isCompatible(EpollIoHandle.class);
        contacts = new NetContacts(settings.contacts(), listener);
        oddities = new Oddities(sentence -> listener.oddity(listener.pedal(), sentence, System.nanoTime()));
        for (int i = 0; i < settings.contacts().size(); i++) {
            names.put(settings.contacts().get(i).closed(), i);
        }
        lines = LineDoor.lines(settings.contacts());
    }

    Seat seat() {
        return listener;
    }

    NetContacts contacts() {
        return contacts;
    }

    /** Opens the port; says how that went. */
    void open() {
        NetPort.Token token = settings.port().token();
        if (token == null) {
            bind("");
            return;
        }
        background.execute(() -> {
            try {
                String text = token.read();
                loop.execute(() -> bind(text));
            } catch (IOException e) {
                loop.execute(() -> denied(String.valueOf(e.getMessage())));
            }
        });
    }

    /** Closes it; no edges and no states are told any more. */
    void close() {
        closed = true;
        List.copyOf(peers).forEach(Door::drop); // each leaves the set as it goes
        if (silence != null) {
            silence.cancel(false);
        }
        if (channel != null) {
            drop(channel);
        }
    }

    /** Somebody has gone who may have closed contacts. */
    void left(Object holder) {
        if (!closed) {
            contacts.left(holder, System.nanoTime());
        }
    }

    /** Whether somebody may send; the first time that somebody may not is told. */
    boolean admits(InetAddress sender, long nanos) {
        if (closed || settings.port().admits(sender)) {
            return !closed;
        }
        odd(sender, "is not among those that may send (from:) and is not heard", nanos);
        return false;
    }

    /** Tells of something odd that somebody does. */
    void odd(InetAddress sender, String what, long nanos) {
        String who = sender.getHostAddress();
        String kind = what.substring(0, Math.min(what.length(), 12));
        oddities.tell(who + ' ' + kind, settings.name() + ": " + who + " " + what, nanos);
    }

    /** Sees to it that what is not repeated opens in time. */
    void watchSilence() {
        long patience = settings.port().silentNanos();
        long now = System.nanoTime();
        long longest = contacts.longestSilence(now);
        if (patience == 0 || silence != null || longest < 0 || closed) {
            return;
        }
        silence = loop.schedule(
                () -> {
                    silence = null;
                    long nanos = System.nanoTime();
                    if (!closed) {
                        contacts.silentSince(nanos - patience, nanos);
                        watchSilence();
                    }
                },
                Math.max(0, patience - longest),
                TimeUnit.NANOSECONDS);
    }

    /** Closes a channel; nobody waits for that. */
    @SuppressWarnings("FutureReturnValueIgnored")
    static void drop(Channel channel) {
        channel.close();
    }

    @SuppressWarnings("FutureReturnValueIgnored")
    private void bind(String token) {
        if (closed) {
            return;
        }
        NetPort port = settings.port();
        ChannelFuture bound = port.carrier() == NetPort.Carrier.OSC
                ? datagrams().bind(port.address())
                : connections(token).bind(port.address());
        bound.addListener(done -> {
            if (done.isSuccess() && closed) {
                drop(bound.channel());
            } else if (done.isSuccess()) {
                up(bound.channel());
            } else {
                denied(BindFault.words(settings.port().where(), done.cause()));
            }
        });
    }

    private Bootstrap datagrams() {
        return new Bootstrap()
                .group(loop)
                .channel(epoll ? EpollDatagramChannel.class : NioDatagramChannel.class)
                .option(ChannelOption.RECVBUF_ALLOCATOR, new FixedRecvByteBufAllocator(OscDoor.MOST_BYTES))
                .handler(new OscDoor(this, settings.contacts()));
    }

    private ServerBootstrap connections(String token) {
        ServerBootstrap bootstrap = new ServerBootstrap()
                .group(loop)
                .channel(epoll ? EpollServerSocketChannel.class : NioServerSocketChannel.class)
                .option(ChannelOption.SO_REUSEADDR, true)
                .option(ChannelOption.SO_BACKLOG, MOST_PEERS)
                .childOption(ChannelOption.SO_KEEPALIVE, true)
                .childOption(ChannelOption.TCP_NODELAY, true)
                .childOption(ChannelOption.RECVBUF_ALLOCATOR, new FixedRecvByteBufAllocator(READ_BYTES))
                .childHandler(new ChannelInitializer<>() {
                    @Override
                    protected void initChannel(Channel peer) {
                        came(peer, token);
                    }
                });
        if (epoll) { // a peer whose cable is pulled is known to be gone within ten seconds
            bootstrap
                    .childOption(EpollChannelOption.TCP_KEEPIDLE, 5)
                    .childOption(EpollChannelOption.TCP_KEEPINTVL, 2)
                    .childOption(EpollChannelOption.TCP_KEEPCNT, 2);
        }
        return bootstrap;
    }

    @SuppressWarnings("FutureReturnValueIgnored")
    private void came(Channel peer, String token) {
        long nanos = System.nanoTime();
        InetAddress address = ((InetSocketAddress) peer.remoteAddress()).getAddress();
        if (!admits(address, nanos)) {
            drop(peer);
            return;
        }
        if (peers.size() >= MOST_PEERS) {
            odd(address, "cannot be connected: " + MOST_PEERS + " are connected already", nanos);
            drop(peer);
            return;
        }
        peers.add(peer);
        peer.closeFuture().addListener(gone -> peers.remove(peer));
        ChannelPipeline pipeline = peer.pipeline();
        if (settings.port().carrier() == NetPort.Carrier.TCP) {
            pipeline.addLast(new LineBasedFrameDecoder(LineDoor.MOST_BYTES, true, true));
            pipeline.addLast(new LineDoor(this, address, lines));
        } else {
            pipeline.addLast(new IdleStateHandler(0, 0, idleMillis, TimeUnit.MILLISECONDS));
            pipeline.addLast(new HttpServerCodec(READ_BYTES, HEADER_BYTES, HEADER_BYTES));
            pipeline.addLast(PostDoor.aggregator());
            pipeline.addLast(new PostDoor(this, names, token));
        }
    }

    @SuppressWarnings("FutureReturnValueIgnored")
    private void up(Channel bound) {
        channel = bound;
        retryMillis = FIRST_RETRY_MILLIS;
        tell(
                DeviceState.UP,
                "listens at " + settings.port().where() + " for "
                        + settings.port().carrier().words());
        bound.closeFuture().addListener(gone -> {
            if (!closed) {
                channel = null;
                long nanos = System.nanoTime();
                contacts.silentSince(nanos, nanos);
                denied("the system has closed " + settings.port().where());
            }
        });
    }

    @SuppressWarnings("FutureReturnValueIgnored")
    private void denied(String words) {
        if (closed) {
            return;
        }
        tell(DeviceState.DENIED, words);
        loop.schedule(this::reopen, retryMillis, TimeUnit.MILLISECONDS);
        retryMillis = Math.min(LONGEST_RETRY_MILLIS, retryMillis * 2);
    }

    private void reopen() {
        if (!closed) {
            open();
        }
    }

    private void tell(DeviceState state, String words) {
        if (!told.equals(words)) {
            told = words;
            listener.device(listener.pedal(), state, words, System.nanoTime());
        }
    }
}
