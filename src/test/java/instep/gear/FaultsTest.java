package instep.gear;

import static org.assertj.core.api.Assertions.assertThat;

import instep.gear.GearSettings.LineEnd;
import java.io.IOException;
import java.net.InetAddress;
import java.net.InetSocketAddress;
import java.net.ServerSocket;
import java.net.Socket;
import java.net.UnknownHostException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.concurrent.CountDownLatch;
import java.util.concurrent.atomic.AtomicInteger;
import java.util.stream.Stream;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.Test;

/** What goes wrong with a peer and with names, again and again. */
class FaultsTest {
    private final Told told = new Told();
    private final HandLoop hand = new HandLoop(HandLoop.Kind.EPOLL);
    private Rack rack = new Rack(hand.loop, List.of(), told);

    @AfterEach
    void close() {
        rack.close();
        hand.close();
    }

    /** Each time in the middle of a line. A cut said meanwhile goes out on the next connection, in time, and what is told as sent has arrived. */
    @Test
    void leavesNothingBehindWhenAPeerRestartsAThousandTimes() throws IOException {
        try (ServerSocket server = new ServerSocket(0, 50, InetAddress.getLoopbackAddress())) {
            rack = new Rack(hand.loop, List.of(Say.mixer(server.getLocalPort(), LineEnd.LF)), told);
            rack.start();
            long descriptors = 0;
            long threads = 0;
            for (int i = 1; i <= 1_000; i++) {
                int times = i;
                hand.until(() -> told.count("0 UP") == 1);
                assertThat(told.has("0 missed")).isFalse();
                assertThat(told.has("0 sent")).isEqualTo(i > 1);
                told.lines.clear();
                try (Socket peer = server.accept()) {
                    if (i > 1) {
                        assertThat(line(peer)).isEqualTo("CUT " + (i - 1));
                    }
                    peer.setSoLinger(true, 0); // in the middle of whatever it was saying
                    peer.getOutputStream().write("ONAI".getBytes(StandardCharsets.US_ASCII));
                }
                hand.until(() -> told.has("0 LOST"));
                rack.send(Say.text(0, "CUT " + times), Say.NOTHING, times);
                hand.pass(100); // of the 300 ms after which it is stale
                if (i == 10) {
                    descriptors = entries("/proc/self/fd");
                    threads = entries("/proc/self/task");
                }
            }
            hand.until(() -> told.has("0 sent 1000"));
            assertThat(entries("/proc/self/fd")).isLessThanOrEqualTo(descriptors + 3);
            assertThat(entries("/proc/self/task")).isLessThanOrEqualTo(threads + 3);
        }
    }

    private static String line(Socket peer) throws IOException {
        peer.setSoTimeout(20_000);
        StringBuilder line = new StringBuilder();
        for (int b = peer.getInputStream().read();
                b >= 0 && b != '\n';
                b = peer.getInputStream().read()) {
            line.append((char) b);
        }
        return line.toString();
    }

    /** A peer that takes the connection and then never reads fills its socket, is given up, and costs the other nothing. */
    @Test
    void bringsEveryCutToOneGearWhileAnotherNeverReads() throws IOException {
        try (ServerSocket deaf = new ServerSocket();
                ServerSocket server = new ServerSocket(0, 50, InetAddress.getLoopbackAddress())) {
            deaf.setReceiveBufferSize(4_096);
            deaf.bind(new InetSocketAddress(InetAddress.getLoopbackAddress(), 0), 50);
            List<GearSettings> both =
                    List.of(Say.mixer(deaf.getLocalPort(), LineEnd.LF), Say.mixer(server.getLocalPort(), LineEnd.LF));
            rack = new Rack(hand.loop, both, told);
            rack.start();
            hand.until(() -> rack.isUp(0) && rack.isUp(1));
            try (Socket listening = server.accept()) {
                for (int i = 1; i <= 500; i++) {
                    String words = "CUT " + i + " ".repeat(1_000) + ".";
                    Message.Step step = Say.text(0, words).steps().get(0);
                    Message.Step same = Say.text(1, words).steps().get(0);
                    rack.send(new Message("both", List.of(step, same)), Say.NOTHING, i);
                    assertThat(told.lines).last().asString().startsWith("1 sent " + i + " "); // at once
                    assertThat(line(listening)).isEqualTo(words);
                    hand.pass(2);
                }
            }
        }
        assertThat(told.count("1 sent")).isEqualTo(500);
        assertThat(told.has("0 missed")).isTrue();
        assertThat(told.has("0 LOST")).isTrue();
    }

    /** However many connections are lost while the name server is silent: one question is open, and its last answer counts. */
    @Test
    void goesByTheLastAnswerWhileTheNameServerIsSilent() throws Exception {
        CountDownLatch silent = new CountDownLatch(1);
        AtomicInteger questions = new AtomicInteger();
        Net net = hand.net(host -> {
            if (questions.incrementAndGet() > 1) {
                await(silent);
            }
            return new InetAddress[] {InetAddress.getLoopbackAddress()};
        });
        try (ServerSocket server = new ServerSocket(0, 50, InetAddress.getLoopbackAddress())) {
            rack = new Rack(net, List.of(Say.mixer(1, LineEnd.LF).at("mixer.example", server.getLocalPort())), told);
            rack.start();
            for (int i = 1; i <= 3; i++) {
                int times = i;
                hand.passUntil(10_000, () -> told.count("0 UP") == times);
                server.accept().close();
                hand.until(() -> told.count("0 LOST") == times);
            }
            hand.passUntil(10_000, () -> told.count("0 UP") == 4);
            // The thread that asks may be slower to begin than three connections are to be made.
            hand.until(() -> questions.get() >= 2);
            assertThat(questions.get()).isEqualTo(2);
        } finally {
            silent.countDown();
        }
    }

    @Test
    void goesByTheLastAnswerWhenTheNameIsNoLongerKnown() throws Exception {
        AtomicInteger questions = new AtomicInteger();
        Net net = hand.net(host -> {
            if (questions.incrementAndGet() > 1) {
                throw new UnknownHostException(host);
            }
            return new InetAddress[] {InetAddress.getLoopbackAddress()};
        });
        try (ServerSocket server = new ServerSocket(0, 50, InetAddress.getLoopbackAddress())) {
            rack = new Rack(net, List.of(Say.mixer(1, LineEnd.LF).at("mixer.example", server.getLocalPort())), told);
            rack.start();
            hand.until(() -> told.has("0 UP"));
            server.accept().close();
            hand.until(() -> told.has("0 LOST"));
            hand.pass(100);
            hand.until(() -> told.count("0 UP") == 2); // no time passes: it is the answer that counts
        }
        assertThat(questions.get()).isEqualTo(2);
    }

    private static void await(CountDownLatch latch) {
        try {
            latch.await();
        } catch (InterruptedException e) {
            throw new IllegalStateException(e);
        }
    }

    private static long entries(String folder) throws IOException {
        try (Stream<Path> entries = Files.list(Path.of(folder))) {
            return entries.count();
        }
    }
}
