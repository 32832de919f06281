package instep.gear;

import static org.assertj.core.api.Assertions.assertThat;

import instep.gear.GearSettings.LineEnd;
import io.netty.bootstrap.ServerBootstrap;
import io.netty.buffer.ByteBuf;
import io.netty.channel.Channel;
import io.netty.channel.ChannelHandlerContext;
import io.netty.channel.ChannelInboundHandlerAdapter;
import io.netty.channel.ChannelInitializer;
import io.netty.channel.ChannelOption;
import io.netty.channel.epoll.EpollServerSocketChannel;
import io.netty.util.concurrent.Future;
import java.net.InetAddress;
import java.net.InetSocketAddress;
import java.nio.charset.StandardCharsets;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.SplittableRandom;
import java.util.concurrent.TimeUnit;
import org.jspecify.annotations.Nullable;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/**
 * A mixer at the other end of a bad network, in virtual time: bytes are 300 ms on their way, and a second more where one in twenty is lost and sent again, and now and then the connection is
 * reset with all that is on its way, or the mixer is off for two seconds.
 */
class BadNetworkTest {
    private static final long MILLIS = 1_000_000L;
    private static final int CUTS = 1_500;

    /** When each was asked for, sent and missed, by its ticket; in virtual nanoseconds. */
    private static final class Books extends Told {
        private final Map<Long, Long> asked = new HashMap<>();
        private final Map<Long, Long> sent = new HashMap<>();
        private final Map<Long, String> missed = new HashMap<>();
        private final List<Long> order = new ArrayList<>();
        private long now;

        @Override
        public void sent(int gear, long ticket, String text, long nanos) {
            assertThat(sent.put(ticket, now)).as("told as sent before").isNull();
            order.add(ticket);
        }

        @Override
        public void missed(int gear, long ticket, String text, String why) {
            assertThat(missed.put(ticket, why)).as("told as missed before").isNull();
        }
    }

    /** What the network does to what is sent through it; knows what has arrived. */
    private final class Network extends ChannelInboundHandlerAdapter {
        private final SplittableRandom random;
        private final StringBuilder line = new StringBuilder();
        private final List<Long> arrived = new ArrayList<>();
        private long onItsWay;
        private boolean isReset;
        private @Nullable Channel channel;

        Network(SplittableRandom random, List<Network> all) {
            this.random = random;
            all.add(this);
        }

        @Override
        public void channelRead(ChannelHandlerContext ctx, Object msg) {
            String text = ((ByteBuf) msg).toString(StandardCharsets.US_ASCII);
            ((ByteBuf) msg).release();
            long late = 300L + (random.nextInt(20) == 0 ? 1_000 : random.nextInt(40));
            onItsWay = Math.max(onItsWay, books.now + late * MILLIS); // in order, as TCP has it
            Future<?> coming = hand.loop.schedule(() -> arrive(text), onItsWay - books.now, TimeUnit.NANOSECONDS);
            assertThat(coming.isCancelled()).isFalse();
            if (random.nextInt(80) == 0) {
                reset();
            }
        }

        @Override
        public void channelActive(ChannelHandlerContext ctx) {
            channel = ctx.channel();
        }

        /** What is on its way never arrives. */
        void reset() {
            isReset = true;
            if (channel != null) {
                channel.config().setOption(ChannelOption.SO_LINGER, 0);
                Net.close(channel);
            }
        }

        private void arrive(String text) {
            for (char c : isReset ? new char[0] : text.toCharArray()) {
                if (c == '\n') {
                    arrived.add(Long.parseLong(line.substring("CUT ".length())));
                    line.setLength(0);
                } else {
                    line.append(c);
                }
            }
        }

        @Override
        public void exceptionCaught(ChannelHandlerContext ctx, Throwable cause) {
            Net.close(ctx.channel());
        }
    }

    private final Books books = new Books();
    private final HandLoop hand = new HandLoop(HandLoop.Kind.EPOLL);
    private Rack rack = new Rack(hand.loop, List.of(), books);

    @AfterEach
    void close() {
        rack.close();
        hand.close();
    }

    private Channel open(int port, SplittableRandom random, List<Network> all) {
        return new ServerBootstrap()
                .group(hand.loop)
                .channel(EpollServerSocketChannel.class)
                .childHandler(new ChannelInitializer<>() {
                    @Override
                    protected void initChannel(Channel channel) {
                        channel.pipeline().addLast(new Network(random, all));
                    }
                })
                .bind(new InetSocketAddress(InetAddress.getLoopbackAddress(), port))
                .channel();
    }

    private void pass(long millis) {
        for (long i = 0; i < millis; i++) {
            books.now += MILLIS;
            hand.pass(1);
        }
    }

    @ParameterizedTest
    @ValueSource(longs = {3, 8})
    void noCutIsSentLateOrTwiceOrToldAsSentWhenItIsNot(long seed) {
        SplittableRandom random = new SplittableRandom(seed);
        List<Network> connections = new ArrayList<>();
        Channel server = open(0, random, connections);
        hand.until(server::isActive);
        int port = ((InetSocketAddress) server.localAddress()).getPort();
        rack = new Rack(hand.loop, List.of(Say.mixer(port, LineEnd.LF)), books);
        rack.start();
        hand.until(() -> rack.isUp(0));
        for (long cut = 1; cut <= CUTS; cut++) {
            if (cut % 300 == 100) {
                off(server, connections.get(connections.size() - 1));
            } else if (cut % 300 == 160) {
                server = on(port, random, connections);
            }
            books.asked.put(cut, books.now);
            rack.send(Say.text(0, "CUT " + cut), Say.NOTHING, cut);
            pass(random.nextInt(1, 60));
        }
        pass(5_000);
        long staleAfter = Say.stale();
        assertThat(books.sent.size() + books.missed.size()).as("each once").isEqualTo(CUTS);
        assertThat(books.missed).isNotEmpty();
        assertThat(books.sent).hasSizeGreaterThan(CUTS / 2);
        books.sent.forEach((cut, at) -> assertThat(at - books.asked.getOrDefault(cut, Long.MIN_VALUE / 2))
                .as("cut " + cut)
                .isLessThanOrEqualTo(staleAfter));
        assertThat(books.order).isSorted();
        List<Long> arrived =
                connections.stream().flatMap(one -> one.arrived.stream()).toList();
        assertThat(arrived).doesNotHaveDuplicates().isSubsetOf(books.sent.keySet());
        connections.forEach(one -> assertThat(one.arrived).isSorted());
        // What was sent and has not arrived was on its way when a connection ended.
        assertThat(connections).hasSizeGreaterThan(8);
        assertThat(arrived).hasSizeGreaterThan(CUTS / 4);
        assertThat(books.lines).filteredOn(line -> line.startsWith("0 UP")).hasSizeGreaterThan(8);
        Net.close(server);
        pass(10);
    }

    /** Nothing listens any more, and the connection that there is breaks. */
    private void off(Channel server, Network last) {
        Net.close(server);
        last.reset();
        hand.until(() -> !server.isOpen());
    }

    private Channel on(int port, SplittableRandom random, List<Network> connections) {
        Channel again = open(port, random, connections);
        hand.until(again::isActive);
        return again;
    }
}
