package instep.desk;

import io.netty.bootstrap.ServerBootstrap;
import io.netty.buffer.UnpooledByteBufAllocator;
import io.netty.channel.Channel;
import io.netty.channel.ChannelFuture;
import io.netty.channel.ChannelInitializer;
import io.netty.channel.ChannelOption;
import io.netty.channel.FixedRecvByteBufAllocator;
import io.netty.channel.IoEventLoopGroup;
import io.netty.channel.MultiThreadIoEventLoopGroup;
import io.netty.channel.epoll.Epoll;
import io.netty.channel.epoll.EpollIoHandler;
import io.netty.channel.epoll.EpollServerSocketChannel;
import io.netty.channel.nio.NioIoHandler;
import io.netty.channel.socket.nio.NioServerSocketChannel;
import io.netty.handler.codec.http.HttpDecoderConfig;
import io.netty.handler.codec.http.HttpServerCodec;
import java.io.IOException;
import java.net.InetSocketAddress;
import java.net.URI;
import java.util.LinkedHashMap;
import java.util.Map;
import java.util.Optional;
import java.util.concurrent.CompletableFuture;
import java.util.concurrent.ThreadFactory;
import java.util.concurrent.TimeUnit;
import java.util.function.Consumer;
import org.jspecify.annotations.Nullable;

/**
 * The page that shows what goes on at the desk, served from a thread of its own: {@code /} for two metres, {@code /glance} for a small screen, {@code /metrics} and {@code
 * /health} for monitors. It asks for snapshots and changes nothing. While its port cannot be opened, that is said once and tried again.
 */
public final class DeskPage implements AutoCloseable {
    static final int MOST_VISITS = 64;
    static final int LINE_BYTES = 1_024;
    static final int HEADER_BYTES = 8_192;
    private static final int READ_BYTES = 2_048;
    private static final Visit.Pace PACE = new Visit.Pace(10_000_000_000L, 2_000_000_000L);
    private static final int CLOSING_SECONDS = 2;
    private static final long RETRY_SECONDS = 5;
    /** The kernel keeps so much for one that does not read, and twice that at most. */
    private static final int KERNEL_BYTES = 32 * 1_024;

    private final DeskSettings settings;
    private final Consumer<String> fault;
    private final Consumer<String> note;
    private final IoEventLoopGroup group;
    private final WrongTokens wrong;
    private final Board board;
    private final Viewers viewers;
    /** By when they came. */
    private final Map<Channel, Visit> visits = new LinkedHashMap<>();

    private final Visit.Pace pace;
    /** It is known how the first try to open it went. */
    private final CompletableFuture<Void> tried = new CompletableFuture<>();

    private volatile @Nullable Channel channel;
    private String told = "";

    /**
     * To whom it says what becomes of it; called on any thread.
     *
     * @param fault takes a sentence when the page cannot be opened, and when somebody tries wrong tokens there
     * @param note takes a sentence when it is shown after all
     */
    public record Told(Consumer<String> fault, Consumer<String> note) {}

    private DeskPage(DeskSettings settings, Desk desk, Told told, Visit.Pace pace) {
        this.settings = settings;
        fault = told.fault();
        note = told.note();
        this.pace = pace;
        ThreadFactory thread = task -> {
            Thread own = new Thread(task, "instep-desk");
            own.setDaemon(true);
            return own;
        };
        group = new MultiThreadIoEventLoopGroup(
                1, thread, Epoll.isAvailable() ? EpollIoHandler.newFactory() : NioIoHandler.newFactory());
        wrong = new WrongTokens(fault);
        board = new Board(desk, wrong);
        viewers = new Viewers(group.next(), board);
    }

    /** Opens the page, or goes on trying to. */
    public static DeskPage open(DeskSettings settings, Desk desk, Told told) {
        return open(settings, desk, told, PACE);
    }

    static DeskPage open(DeskSettings settings, Desk desk, Told told, Visit.Pace pace) {
        DeskPage page = new DeskPage(settings, desk, told, pace);
        page.group.execute(page::bind);
        page.tried.join();
        return page;
    }

    /** There is something new to show. From any thread; neither blocks nor waits. */
    public void news() {
        viewers.news();
    }

    /** Where the page is; empty while it cannot be opened. */
    public Optional<URI> address() {
        Channel open = channel;
        return open == null
                ? Optional.empty()
                : Optional.of(
                        URI.create("http://" + DeskSettings.where((InetSocketAddress) open.localAddress()) + "/"));
    }

    private void bind() {
        try {
            Entrance entrance = new Entrance(token(), wrong);
            Porter porter = new Porter(new Gate(settings.names()), entrance, board, viewers::news);
            ChannelFuture bound = bootstrap(porter).bind(settings.address());
            bound.addListener(done -> {
                if (done.isSuccess()) {
                    channel = bound.channel();
                    shown();
                    tried.complete(null);
                } else {
                    cannot(settings.where() + " cannot be listened at (" + words(done.cause()) + ")");
                }
            });
        } catch (IOException e) {
            cannot(String.valueOf(e.getMessage()));
        }
    }

    private void shown() {
        watchTokens();
        if (!told.isEmpty()) {
            address().ifPresent(at -> note.accept("the desk page is shown now, at " + at));
        }
    }

    private static String words(Throwable cause) {
        String message = String.valueOf(cause.getMessage());
        return message.contains("Address already in use")
                ? "another program listens there; end it, or give desk another port"
                : message;
    }

    private String token() throws IOException {
        DeskSettings.Token token = settings.token();
        if (token == null) {
            return "";
        }
        String text = token.read();
        if (text.length() < Entrance.SHORTEST_TOKEN) {
            throw new IOException("its token has less than " + Entrance.SHORTEST_TOKEN
                    + " characters, which can be guessed; put a longer one into the secret");
        }
        return text;
    }

    @SuppressWarnings("FutureReturnValueIgnored")
    private void cannot(String why) {
        if (!told.equals(why)) {
            told = why;
            fault.accept("the desk page is not shown: " + why + ". All else goes on; it is tried again every "
                    + RETRY_SECONDS + " s");
        }
        tried.complete(null);
        if (!group.isShuttingDown()) {
            group.schedule(this::bind, RETRY_SECONDS, TimeUnit.SECONDS);
        }
    }

    @SuppressWarnings("FutureReturnValueIgnored")
    private void watchTokens() {
        if (settings.token() != null) {
            group.scheduleWithFixedDelay(
                    () -> wrong.look(System.nanoTime()),
                    WrongTokens.QUIET_NANOS,
                    WrongTokens.QUIET_NANOS,
                    TimeUnit.NANOSECONDS);
        }
    }

    private ServerBootstrap bootstrap(Porter porter) {
        return new ServerBootstrap()
                .group(group)
                .channel(Epoll.isAvailable() ? EpollServerSocketChannel.class : NioServerSocketChannel.class)
                .option(ChannelOption.SO_REUSEADDR, true)
                .option(ChannelOption.SO_BACKLOG, MOST_VISITS)
                .childOption(ChannelOption.TCP_NODELAY, true)
                .childOption(ChannelOption.SO_KEEPALIVE, true)
                .childOption(ChannelOption.RECVBUF_ALLOCATOR, new FixedRecvByteBufAllocator(READ_BYTES))
                .childOption(ChannelOption.ALLOCATOR, new UnpooledByteBufAllocator(false))
                .childOption(ChannelOption.SO_SNDBUF, KERNEL_BYTES)
                .childHandler(new ChannelInitializer<>() {
                    @Override
                    protected void initChannel(Channel visit) {
                        came(visit, porter);
                    }
                });
    }

    /** Of more than there may be, one that is idle is closed; if none is, the newest. */
    @SuppressWarnings("FutureReturnValueIgnored")
    private void came(Channel visit, Porter porter) {
        if (visits.size() >= MOST_VISITS && !makeRoom()) {
            visit.close();
            return;
        }
        Sluice sluice = new Sluice();
        Visit one = new Visit(porter, viewers, pace, sluice);
        visits.put(visit, one);
        visit.closeFuture().addListener(gone -> visits.remove(visit));
        visit.pipeline()
                .addLast(sluice)
                .addLast(new HttpServerCodec(new HttpDecoderConfig()
                        .setMaxInitialLineLength(LINE_BYTES)
                        .setMaxHeaderSize(HEADER_BYTES)
                        .setHeadersFactory(FewHeaders.FACTORY)
                        .setMaxChunkSize(READ_BYTES)))
                .addLast(Visit.aggregator())
                .addLast(one);
    }

    @SuppressWarnings("FutureReturnValueIgnored")
    private boolean makeRoom() {
        Optional<Channel> first = visits.entrySet().stream()
                .filter(visit -> visit.getValue().isIdle())
                .reduce((one, other) -> other.getValue().goesBefore(one.getValue()) ? other : one)
                .map(Map.Entry::getKey);
        first.ifPresent(idle -> {
            visits.remove(idle);
            idle.close();
        });
        return first.isPresent();
    }

    @Override
    public void close() {
        Channel open = channel;
        if (open != null) {
            // Nobody comes any more before the loop ends: what it took up in its last moment, nobody would close.
            open.close().awaitUninterruptibly(CLOSING_SECONDS, TimeUnit.SECONDS);
        }
        group.shutdownGracefully(0, CLOSING_SECONDS, TimeUnit.SECONDS).syncUninterruptibly();
    }
}
