package instep.gear;

import static org.assertj.core.api.Assertions.assertThat;

import instep.gear.GearSettings.LineEnd;
import java.io.IOException;
import java.io.UncheckedIOException;
import java.net.InetAddress;
import java.net.InetSocketAddress;
import java.net.ServerSocket;
import java.net.Socket;
import java.net.SocketException;
import java.net.SocketTimeoutException;
import java.net.UnknownHostException;
import java.nio.charset.StandardCharsets;
import java.util.HexFormat;
import java.util.List;
import java.util.regex.Pattern;
import java.util.stream.IntStream;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedClass;
import org.junit.jupiter.params.provider.EnumSource;

@ParameterizedClass
@EnumSource(HandLoop.Kind.class)
class StreamLinkTest {
    private final Told told = new Told();
    private final HandLoop hand;
    private ServerSocket server = new ServerSocket(0, 50, InetAddress.getLoopbackAddress());
    private Rack rack;

    StreamLinkTest(HandLoop.Kind kind) throws IOException {
        hand = new HandLoop(kind);
        rack = new Rack(hand.loop, List.of(), told);
    }

    @AfterEach
    void close() throws IOException {
        rack.close();
        server.close();
        hand.close();
    }

    @Test
    void endsLinesAsTheGearWantsThem() throws IOException {
        for (LineEnd end : LineEnd.values()) {
            start(Say.mixer(server.getLocalPort(), end));
            Socket peer = accept();

            rack.send(Say.text(0, "CUT {angle}"), Say.with("angle", 2L), 7);

            assertThat(read(peer, 5 + end.characters().length())).isEqualTo("CUT 2" + end.characters());
            assertThat(told.lines).containsExactly("0 UP connected to " + where(), "0 sent 7 CUT 2");
            rack.close();
            told.lines.clear();
        }
    }

    @Test
    void sendsHexAsItIs() throws IOException {
        start(Say.mixer(server.getLocalPort(), LineEnd.CRLF));
        Socket peer = accept();

        rack.send(Say.hex(0, "00ff0d0a7e"), Say.NOTHING, 7);

        assertThat(HexFormat.of().formatHex(peer.getInputStream().readNBytes(5)))
                .isEqualTo("00ff0d0a7e");
        assertThat(told.lines).endsWith("0 sent 7 hex 00 ff 0d 0a 7e");
    }

    @Test
    void sendsTheSameMessageAgainAndAgain() throws IOException {
        start(Say.mixer(server.getLocalPort(), LineEnd.LF));
        Socket peer = accept();
        Message cut = Say.text(0, "CUT 1");

        for (int i = 0; i < 3; i++) {
            rack.send(cut, Say.NOTHING, i);
        }

        assertThat(read(peer, 18)).isEqualTo("CUT 1\nCUT 1\nCUT 1\n");
    }

    @Test
    void keepsAValueFromAddingASecondCommand() throws IOException {
        start(Say.mixer(server.getLocalPort(), LineEnd.CRLF));
        Socket peer = accept();

        rack.send(Say.text(0, "TITLE {who}!"), Say.with("who", "x\r\nCUT 4"), 7);

        assertThat(read(peer, 16)).isEqualTo("TITLE x CUT 4!\r\n");
    }

    @Test
    void passesOnEachLineThatTheGearSays() throws IOException {
        start(Say.mixer(server.getLocalPort(), LineEnd.CRLF));
        Socket peer = accept();

        say(peer, "OK CUT 2\r\nONAIR 2\r\n");
        hand.until(() -> told.lines.size() == 3);

        assertThat(told.lines).endsWith("0 reply -1 OK CUT 2", "0 reply -1 ONAIR 2");
    }

    @Test
    void takesWhatComesInOnePieceForAReplyWhereThereAreNoLines() throws IOException {
        start(Say.mixer(server.getLocalPort(), LineEnd.NONE));
        Socket peer = accept();

        say(peer, "\u0006\u0001");
        hand.until(() -> told.has("0 reply -1 hex 0601"));
        say(peer, "ready\r\n");
        hand.until(() -> told.has("0 reply -1 ready"));

        assertThat(told.count("0 reply")).isEqualTo(2);
    }

    @Test
    void saysOnceWhoRefusedTheConnection() throws IOException {
        String where = where();
        start(refusing());
        hand.until(() -> told.has("0 LOST"));

        hand.pass(20_000);

        assertThat(told.lines).containsExactly("0 LOST connection refused by " + where + ": is the mixer on?");
        assertThat(rack.isUp(0)).isFalse();
    }

    @Test
    void holdsAMessageForALinkThatComesUpInTime() throws IOException {
        start(refusing());
        hand.until(() -> told.has("0 LOST"));
        rack.send(Say.text(0, "CUT 1"), Say.NOTHING, 1);
        rack.send(Say.text(0, "CUT 2"), Say.NOTHING, 2);

        reopen();
        hand.passUntil(Say.STALE_MILLIS - 1, () -> told.has("0 UP"));

        assertThat(read(accept(), 14)).isEqualTo("CUT 1\r\nCUT 2\r\n");
        assertThat(told.lines).endsWith("0 UP connected to " + where(), "0 sent 1 CUT 1", "0 sent 2 CUT 2");
    }

    @Test
    void neverDeliversWhatIsStale() throws IOException {
        String where = where();
        start(refusing());
        hand.until(() -> told.has("0 LOST"));
        rack.send(Say.text(0, "CUT 1"), Say.NOTHING, 1);
        hand.pass(Say.STALE_MILLIS);

        assertThat(told.lines).endsWith("0 missed 1 CUT 1: connection refused by " + where + ": is the mixer on?");

        reopen();
        hand.passUntil(6_000, () -> told.has("0 UP"));
        rack.send(Say.text(0, "CUT 2"), Say.NOTHING, 2);
        assertThat(read(accept(), 7)).isEqualTo("CUT 2\r\n");
    }

    @Test
    void neverDeliversWhatWentStaleWhileTheMachineStalled() throws IOException {
        start(refusing());
        hand.until(() -> told.has("0 LOST"));
        hand.pass(20_000);
        reopen();
        rack.send(Say.text(0, "CUT 1"), Say.NOTHING, 1);
        hand.stall(100);
        hand.loop.runNow(); // it is connecting

        hand.stall(Say.STALE_MILLIS - 100); // and what the loop sees first after this is that it is connected
        hand.until(() -> told.has("0 UP"));

        rack.send(Say.text(0, "CUT 2"), Say.NOTHING, 2);
        assertThat(read(accept(), 7)).isEqualTo("CUT 2\r\n");
        assertThat(told.has("0 missed 1")).isTrue();
    }

    @Test
    void dropsTheOldestOfMoreThanSixtyFour() throws IOException {
        start(refusing());
        hand.until(() -> told.has("0 LOST"));

        IntStream.rangeClosed(1, 66).forEach(i -> rack.send(Say.text(0, "CUT " + i), Say.NOTHING, i));

        assertThat(told.lines)
                .filteredOn(line -> line.contains("missed"))
                .hasSize(2)
                .allSatisfy(line -> assertThat(line)
                        .matches("0 missed [12] CUT [12]: more than 64 messages wait: connection refused.*"));
    }

    @Test
    void letsNoMoreWaitThanItIsSaidTo() throws IOException {
        Listening narrow = new Listening(List.of(), null, null, 0, 0, Listening.Resync.ANGLE, List.of(), 2);
        rack = new Rack(hand.loop, List.of(refusing()), List.of(narrow), told);
        rack.start();
        hand.until(() -> told.has("0 LOST"));

        IntStream.rangeClosed(1, 3).forEach(i -> rack.send(Say.text(0, "CUT " + i), Say.NOTHING, i));

        assertThat(told.lines)
                .filteredOn(line -> line.contains("missed"))
                .singleElement()
                .asString()
                .startsWith("0 missed 1 CUT 1: more than 2 messages wait: ");
    }

    @Test
    void sendsWhatTheListenerWantsOnAirNowAfterWhatHasWaited() throws IOException {
        rack = new Rack(hand.loop, List.of(refusing()), new Told() {
            @Override
            public void link(int gear, LinkState state, String why) {
                told.link(gear, state, why);
                if (state == LinkState.UP) {
                    assertThat(rack.isUp(gear)).isTrue();
                    rack.sendTo(gear, Say.text(0, "CUT 3"), Say.NOTHING, 9);
                }
            }
        });
        rack.start();
        hand.until(() -> told.has("0 LOST"));
        rack.send(Say.text(0, "CUT 2"), Say.NOTHING, 1);

        reopen();
        hand.passUntil(Say.STALE_MILLIS - 1, () -> told.has("0 UP"));

        assertThat(read(accept(), 14)).isEqualTo("CUT 2\r\nCUT 3\r\n");
    }

    @Test
    void triesSoonWhenThereIsSomethingToSayAfterALongOutage() throws IOException {
        start(refusing());
        hand.until(() -> told.has("0 LOST"));
        hand.pass(20_000); // attempts are seconds apart by now
        reopen();

        rack.send(Say.text(0, "CUT 1"), Say.NOTHING, 1);
        hand.passUntil(100, () -> told.has("0 sent 1"));

        assertThat(read(accept(), 7)).isEqualTo("CUT 1\r\n");
    }

    @Test
    void connectsAgainWhenTheGearHasClosed() throws IOException {
        start(Say.mixer(server.getLocalPort(), LineEnd.CRLF));
        accept().close();
        hand.until(() -> told.has("0 LOST"));
        assertThat(told.lines).endsWith("0 LOST " + where() + " closed the connection");

        hand.passUntil(100, () -> told.count("0 UP") == 2);

        rack.send(Say.text(0, "CUT 1"), Say.NOTHING, 1);
        assertThat(read(accept(), 7)).isEqualTo("CUT 1\r\n");
    }

    @Test
    void sendsOnTheNextConnectionWhatTheBrokenOneDidNotTake() throws IOException {
        start(Say.mixer(server.getLocalPort(), LineEnd.CRLF));
        Socket peer = accept();
        peer.setSoLinger(true, 0);
        peer.close(); // a reset, which the loop has not yet heard of

        rack.send(Say.text(0, "CUT 1"), Say.NOTHING, 1);
        assertThat(told.has("0 sent")).isFalse();
        hand.passUntil(Say.STALE_MILLIS - 1, () -> told.has("0 sent 1"));

        assertThat(read(accept(), 7)).isEqualTo("CUT 1\r\n");
        assertThat(told.count("0 LOST")).isEqualTo(1);
    }

    @Test
    void cutsOffAGearThatSendsWithoutEnd() throws IOException {
        start(Say.mixer(server.getLocalPort(), LineEnd.CRLF));
        Socket peer = accept();

        say(peer, "x".repeat(Lines.LONGEST_BYTES + 1));
        hand.until(() -> told.has("0 LOST"));

        assertThat(told.lines)
                .endsWith("0 LOST " + where() + " sent more than 8192 bytes without a line end: "
                        + "if it does not speak in lines, write line-end: none");
        assertThat(end(peer)).isIn("end", "reset");
    }

    @Test
    void missesWhatAFrozenGearDoesNotTakeInTime() throws IOException {
        server.setReceiveBufferSize(4_096);
        start(Say.mixer(server.getLocalPort(), LineEnd.CRLF));
        Socket peer = accept(); // and never read from, until it is too late
        Message much = Say.text(0, "x".repeat(16 * 1_024));
        int tickets = 0;
        while (rack.isQuiet()) {
            rack.send(much, Say.NOTHING, ++tickets);
        }
        hand.pass(150);
        rack.send(Say.text(0, "CUT 2"), Say.NOTHING, 1_000);
        rack.send(Say.text(0, "CUT 3"), Say.NOTHING, 1_001);

        hand.pass(Say.STALE_MILLIS - 151);
        assertThat(told.has("0 missed")).isFalse();
        hand.pass(1);

        String frozen = where() + " takes no more bytes: is the mixer frozen?";
        assertThat(told.lines)
                .contains("0 LOST " + frozen)
                .last()
                .asString()
                .matches("0 missed " + tickets + " x+…: " + Pattern.quote(frozen));
        assertThat(told.count("0 sent")).isEqualTo(tickets - 1);
        hand.pass(1); // NIO closes a socket when it selects next
        assertThat(end(peer)).isEqualTo("reset"); // so what the kernel still held is not delivered, either

        hand.passUntil(149, () -> told.has("0 sent 1001")); // what is not stale goes out on the next connection
        assertThat(read(accept(), 14)).isEqualTo("CUT 2\r\nCUT 3\r\n");
    }

    @Test
    void sendsInOrderOnceASlowGearTakesBytesAgain() throws IOException {
        server.setReceiveBufferSize(4_096);
        start(Say.mixer(server.getLocalPort(), LineEnd.CRLF));
        Socket peer = accept();
        Message much = Say.text(0, "x".repeat(16 * 1_024));
        int tickets = 0;
        while (rack.isQuiet()) {
            rack.send(much, Say.NOTHING, ++tickets);
        }
        rack.send(Say.text(0, "CUT 1"), Say.NOTHING, 1_001);
        rack.send(Say.text(0, "CUT 2"), Say.NOTHING, 1_002);

        int before = tickets * (16 * 1_024 + 2);
        int[] taken = {0};
        byte[] buffer = new byte[64 * 1_024];
        hand.until(() -> {
            taken[0] += readSome(peer, buffer, before - taken[0]);
            return taken[0] == before;
        });
        hand.until(rack::isQuiet);

        assertThat(read(peer, 14)).isEqualTo("CUT 1\r\nCUT 2\r\n");
        assertThat(told.lines).endsWith("0 sent 1001 CUT 1", "0 sent 1002 CUT 2");
        assertThat(told.has("0 missed")).isFalse();
    }

    @Test
    void saysThatNobodyKnowsTheName() throws IOException {
        Net net = hand.net(host -> {
            throw new UnknownHostException(host);
        });
        rack = new Rack(net, List.of(Say.mixer(1, LineEnd.CRLF).at("mixer.example", 9701)), told);
        rack.start();

        hand.until(() -> told.has("0 LOST"));

        assertThat(told.lines)
                .containsExactly("0 LOST nobody on the network knows the name mixer.example: is it spelled right? "
                        + "An address works, too");
    }

    @Test
    void looksUpANameForEachAttemptAndTriesItsAddressesInTurn() throws IOException {
        InetAddress nobody = InetAddress.getByAddress(new byte[] {127, 0, 0, 99});
        InetAddress[] both = {nobody, InetAddress.getLoopbackAddress()};
        Net net = hand.net(host -> both);
        rack = new Rack(net, List.of(Say.mixer(1, LineEnd.CRLF).at("mixer.example", server.getLocalPort())), told);
        rack.start();
        hand.until(() -> told.has("0 LOST"));

        hand.passUntil(100, () -> told.has("0 UP"));

        assertThat(told.lines)
                .containsExactly(
                        "0 LOST connection refused by mixer.example:" + server.getLocalPort() + ": is the mixer on?",
                        "0 UP connected to mixer.example:" + server.getLocalPort());
    }

    @Test
    void takesNothingButTextAndBytes() throws IOException {
        start(Say.mixer(server.getLocalPort(), LineEnd.CRLF));

        rack.send(Say.osc(0, "/x"), Say.NOTHING, 7);

        assertThat(told.lines).endsWith("0 missed 7 mixer: this gear takes text, JSON or hex bytes, nothing else");
    }

    @Test
    void reportsWhatWaitedWhenItIsClosedAndNothingAfterThat() throws IOException {
        start(refusing());
        hand.until(() -> told.has("0 LOST"));
        rack.send(Say.text(0, "CUT 1"), Say.NOTHING, 1);

        rack.close();
        assertThat(told.lines).hasSize(2).endsWith("0 missed 1 CUT 1: Instep has ended");

        reopen();
        rack.send(Say.text(0, "CUT 2"), Say.NOTHING, 2);
        hand.pass(10_000);
        assertThat(told.lines).hasSize(2);
    }

    private void start(GearSettings gear) {
        rack = new Rack(hand.loop, List.of(gear), told);
        rack.start();
        if (!server.isClosed()) {
            hand.until(() -> rack.isUp(0));
        }
    }

    private GearSettings refusing() throws IOException {
        int port = server.getLocalPort();
        server.close();
        return Say.mixer(port, LineEnd.CRLF);
    }

    private void reopen() throws IOException {
        int port = server.getLocalPort();
        server = new ServerSocket();
        server.setReuseAddress(true);
        server.bind(new InetSocketAddress(InetAddress.getLoopbackAddress(), port));
    }

    private Socket accept() throws IOException {
        Socket peer = server.accept();
        peer.setSoTimeout(10_000);
        return peer;
    }

    private String where() {
        return "127.0.0.1:" + server.getLocalPort();
    }

    private static String read(Socket peer, int bytes) throws IOException {
        return new String(peer.getInputStream().readNBytes(bytes), StandardCharsets.UTF_8);
    }

    private static int readSome(Socket peer, byte[] into, int most) {
        try {
            int there = Math.min(Math.min(peer.getInputStream().available(), most), into.length);
            return there == 0 ? 0 : peer.getInputStream().read(into, 0, there);
        } catch (IOException e) {
            throw new UncheckedIOException(e);
        }
    }

    /** Reads what is still there, and tells how it ends. */
    private static String end(Socket peer) throws IOException {
        try {
            byte[] buffer = new byte[64 * 1_024];
            while (peer.getInputStream().read(buffer) >= 0) {
                // what was still on its way
            }
            return "end";
        } catch (SocketTimeoutException e) {
            return "still open";
        } catch (SocketException e) {
            return "reset";
        }
    }

    private static void say(Socket peer, String text) throws IOException {
        peer.getOutputStream().write(text.getBytes(StandardCharsets.UTF_8));
    }
}
