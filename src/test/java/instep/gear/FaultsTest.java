package instep.gear;

import static org.assertj.core.api.Assertions.assertThat;

import instep.gear.GearSettings.LineEnd;
import java.io.IOException;
import java.net.InetAddress;
import java.net.ServerSocket;
import java.net.Socket;
import java.net.UnknownHostException;
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

    @Test
    void leavesNothingBehindWhenAPeerRestartsAThousandTimes() throws IOException {
        try (ServerSocket server = new ServerSocket(0, 50, InetAddress.getLoopbackAddress())) {
            rack = new Rack(hand.loop, List.of(Say.mixer(server.getLocalPort(), LineEnd.LF)), told);
            rack.start();
            long descriptors = 0;
            for (int i = 1; i <= 1_000; i++) {
                int times = i;
                hand.until(() -> told.count("0 UP") == 1);
                told.lines.clear();
                try (Socket peer = server.accept()) {
                    peer.setSoLinger(true, 0); // in the middle of whatever it was saying
                    peer.getOutputStream().write("ONAI".getBytes(java.nio.charset.StandardCharsets.US_ASCII));
                }
                hand.until(() -> told.has("0 LOST"));
                rack.send(Say.text(0, "CUT " + times), Say.NOTHING, times);
                hand.pass(100);
                if (i == 10) {
                    descriptors = descriptors();
                }
            }
            hand.until(() -> told.has("0 sent 1000"));
            assertThat(descriptors()).isLessThanOrEqualTo(descriptors + 3);
            assertThat(told.has("0 missed")).isFalse();
        }
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
        } finally {
            silent.countDown();
        }
        assertThat(questions.get()).isEqualTo(2);
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

    private static long descriptors() throws IOException {
        try (Stream<Path> open = Files.list(Path.of("/proc/self/fd"))) {
            return open.count();
        }
    }
}
