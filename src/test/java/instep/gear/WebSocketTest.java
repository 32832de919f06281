package instep.gear;

import static org.assertj.core.api.Assertions.assertThat;

import instep.machine.Template;
import instep.reference.Installed;
import java.io.IOException;
import java.io.InputStream;
import java.net.InetAddress;
import java.net.ServerSocket;
import java.net.Socket;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.security.MessageDigest;
import java.util.Base64;
import java.util.HexFormat;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.concurrent.CompletableFuture;
import java.util.concurrent.TimeUnit;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** RFC 6455, against Python's websockets (Debian python3-websockets) and against bytes written by hand. */
class WebSocketTest {
    private static final String PYTHON = "/usr/bin/python3";
    private static final String LIBRARY = "/usr/lib/python3/dist-packages/websockets/__main__.py";

    private static final String SWITCHING = String.join(
            "\r\n",
            "HTTP/1.1 101 Switching Protocols",
            "Upgrade: websocket",
            "Connection: Upgrade",
            "Sec-WebSocket-Accept: ");

    private final Told told = new Told();
    private final HandLoop hand = new HandLoop(HandLoop.Kind.EPOLL);
    private Rack rack = new Rack(hand.loop, List.of(), told);

    @AfterEach
    void close() {
        rack.close();
        hand.close();
    }

    @Test
    void speaksWithAServerOfSomebodyElse() throws IOException {
        Peer.needs(PYTHON, "python3-websockets");
        Installed.file(LIBRARY, "python3-websockets");
        try (Peer server = Peer.start(PYTHON, "src/test/resources/peers/websocket.py")) {
            hand.until(() -> !server.printed.isEmpty());
            start(Integer.parseInt(server.printed.get(0)), TimeUnit.SECONDS.toNanos(10));
            hand.until(() -> rack.isUp(0));

            rack.send(Say.text(0, "CUT {angle}"), Say.with("angle", "é"), 1);
            hand.until(() -> told.has("0 reply -1 OK CUT é"));
            Payload json = new Payload.Json(Template.parse("{\"cut\":\"{angle}\"}"));
            for (int i = 2; i <= 3; i++) { // the second time from the cache
                rack.send(Say.message(0, json), Say.with("angle", "a\"b"), i);
            }
            hand.until(() -> told.count("0 reply -1 OK {\"cut\":\"a\\\"b\"}") == 2);
            rack.send(Say.hex(0, "00ff"), Say.NOTHING, 4);
            hand.until(() -> told.has("0 reply -1 hex 00ff"));
            rack.send(Say.text(0, "split"), Say.NOTHING, 5);
            hand.until(() -> told.has("0 reply -1 one two three"));
            rack.send(Say.text(0, "ping"), Say.NOTHING, 6);
            hand.until(() -> told.has("0 reply -1 ponged"));

            hand.pass(9_999); // heard of in the meantime
            long[] real = {0};
            hand.pass(10_000); // asked for a sign of life
            hand.until(() -> ++real[0] > 200); // which has the time to come
            hand.pass(9_999);
            assertThat(told.has("0 LOST")).isFalse();

            rack.send(Say.text(0, "large"), Say.NOTHING, 7);
            hand.until(() -> told.has("0 LOST"));
            hand.pass(100); // it is dialled again, and the clock waits for the server's answer
            hand.until(() -> told.count("0 UP") == 2);
            rack.send(Say.text(0, "bye"), Say.NOTHING, 8);
            hand.until(() -> told.count("0 LOST") == 2);
        }
        assertThat(told.lines.stream().filter(line -> line.startsWith("0 LOST")).toList())
                .hasSize(2)
                .last()
                .asString()
                .endsWith("closed the connection");
    }

    /** RFC 6455, section 10.6: {@code wss} is the same within TLS. */
    @Test
    void speaksWithAServerOfSomebodyElseWithinTls(@TempDir Path folder) throws IOException {
        Peer.needs(PYTHON, "python3-websockets");
        Installed.file(LIBRARY, "python3-websockets");
        Certificates certificates = new Certificates(folder);
        Path good = certificates.make("good", "-ext", "SAN=ip:127.0.0.1");
        Path stranger = certificates.make("stranger", "-ext", "SAN=ip:127.0.0.1");
        String key = certificates.key("good").toString();
        try (Peer server = Peer.start(PYTHON, "src/test/resources/peers/websocket.py", good.toString(), key)) {
            hand.until(() -> !server.printed.isEmpty());
            int port = Integer.parseInt(server.printed.get(0));
            start(port, TimeUnit.SECONDS.toNanos(10), within(stranger));
            hand.until(() -> told.has("0 LOST"));
            assertThat(told.lines).noneMatch(line -> line.startsWith("0 UP"));
            rack.close();

            start(port, TimeUnit.SECONDS.toNanos(10), within(good));
            hand.until(() -> rack.isUp(0));
            rack.send(Say.text(0, "CUT 2"), Say.NOTHING, 1);
            hand.until(() -> told.has("0 reply -1 OK CUT 2"));
            rack.send(Say.text(0, "ping"), Say.NOTHING, 2);
            hand.until(() -> told.has("0 reply -1 ponged"));
        }
    }

    private static Access within(Path trusted) {
        return new Access(Optional.of(new Tls(Optional.of(trusted))), Optional.empty(), false);
    }

    /** RFC 6455, section 5.3 and 5.7: the masked "Hello", but with a mask that differs from frame to frame. */
    @Test
    void masksEachFrameAnew() throws Exception {
        try (ServerSocket server = new ServerSocket(0, 5, InetAddress.getLoopbackAddress())) {
            CompletableFuture<Socket> accepted = CompletableFuture.supplyAsync(() -> upgrade(server));
            start(server.getLocalPort(), TimeUnit.SECONDS.toNanos(10));
            hand.until(() -> rack.isUp(0));
            Message hello = Say.text(0, "Hello");
            for (int i = 0; i < 4; i++) {
                rack.send(hello, Say.NOTHING, i);
            }

            InputStream in = accepted.get().getInputStream();
            java.util.Set<String> masks = new java.util.HashSet<>();
            for (int i = 0; i < 4; i++) {
                byte[] frame = in.readNBytes(11);
                assertThat(HexFormat.of().formatHex(frame, 0, 2)).isEqualTo("8185");
                masks.add(HexFormat.of().formatHex(frame, 2, 6));
                byte[] text = new byte[5];
                for (int j = 0; j < 5; j++) {
                    text[j] = (byte) (frame[6 + j] ^ frame[2 + j % 4]);
                }
                assertThat(new String(text, StandardCharsets.US_ASCII)).isEqualTo("Hello");
            }
            assertThat(masks.size()).isGreaterThan(1);
        }
    }

    @Test
    void noticesAPeerThatIsFrozenWithItsSocketOpen() throws Exception {
        try (ServerSocket server = new ServerSocket(0, 5, InetAddress.getLoopbackAddress())) {
            CompletableFuture<Socket> accepted = CompletableFuture.supplyAsync(() -> upgrade(server));
            start(server.getLocalPort(), TimeUnit.SECONDS.toNanos(1));
            hand.until(() -> rack.isUp(0));
            hand.pass(1_000);
            // RFC 6455, section 5.5.2: a ping, masked, without a body
            assertThat(HexFormat.of().formatHex(accepted.get().getInputStream().readNBytes(2)))
                    .isEqualTo("8980");
            hand.pass(999);
            assertThat(told.has("0 LOST")).isFalse();
            hand.pass(1);

            assertThat(told.lines)
                    .endsWith("0 LOST 127.0.0.1:" + server.getLocalPort()
                            + " did not answer a ping within 1000 ms: is it frozen?");
        }
    }

    @Test
    void saysThatThereIsNoWebSocket() throws Exception {
        try (ServerSocket server = new ServerSocket(0, 5, InetAddress.getLoopbackAddress())) {
            CompletableFuture<Void> done = CompletableFuture.runAsync(
                    () -> answer(server, "HTTP/1.1 404 Not Found\r\nContent-Length: 0\r\n\r\n"));
            start(server.getLocalPort(), TimeUnit.SECONDS.toNanos(10));
            hand.until(() -> told.has("0 LOST"));
            done.get();

            assertThat(told.lines)
                    .containsExactly("0 LOST 127.0.0.1:" + server.getLocalPort()
                            + " does not open a WebSocket there (404 Not Found)");
        }
    }

    /** RFC 6455, section 4.1: an answer with another key is none. */
    @Test
    void refusesAnAnswerThatDoesNotKnowTheKey() throws Exception {
        try (ServerSocket server = new ServerSocket(0, 5, InetAddress.getLoopbackAddress())) {
            CompletableFuture<Void> done = CompletableFuture.runAsync(
                    () -> answer(server, SWITCHING + "s3pPLMBiTxaQ9kYGzzhZRbK+xOo=\r\n\r\n"));
            start(server.getLocalPort(), TimeUnit.SECONDS.toNanos(10));
            hand.until(() -> told.has("0 LOST"));
            done.get();
            assertThat(told.has("0 UP")).isFalse();
        }
    }

    private void start(int port, long pingNanos) {
        start(port, pingNanos, Access.OPEN);
    }

    private void start(int port, long pingNanos, Access access) {
        GearSettings gear = new GearSettings.WebSocket(
                "panel", "127.0.0.1", port, "/desk?a=1", Map.of("X-Desk", "pottery"), access, pingNanos, Say.stale());
        rack = new Rack(hand.loop, List.of(gear), told);
        rack.start();
    }

    private static void answer(ServerSocket server, String answer) {
        try (Socket peer = server.accept()) {
            head(peer);
            peer.getOutputStream().write(answer.getBytes(StandardCharsets.US_ASCII));
            peer.getInputStream().read();
        } catch (IOException e) {
            throw new java.io.UncheckedIOException(e);
        }
    }

    private static String head(Socket peer) throws IOException {
        StringBuilder head = new StringBuilder();
        while (head.indexOf("\r\n\r\n") < 0) {
            head.append((char) peer.getInputStream().read());
        }
        return head.toString();
    }

    /** The server's side of the handshake, section 4.2.2. */
    private static Socket upgrade(ServerSocket server) {
        try {
            Socket peer = server.accept();
            peer.setSoTimeout(10_000);
            String head = head(peer);
            assertThat(head).startsWith("GET /desk?a=1 HTTP/1.1\r\n").containsIgnoringCase("\r\nx-desk: pottery\r\n");
            String key = head.replaceAll("(?is).*\r\nSec-WebSocket-Key: ([^\r]+)\r\n.*", "$1");
            byte[] sum = MessageDigest.getInstance("SHA-1")
                    .digest((key + "258EAFA5-E914-47DA-95CA-C5AB0DC85B11").getBytes(StandardCharsets.US_ASCII));
            peer.getOutputStream()
                    .write((SWITCHING + Base64.getEncoder().encodeToString(sum) + "\r\n\r\n")
                            .getBytes(StandardCharsets.US_ASCII));
            return peer;
        } catch (IOException | java.security.NoSuchAlgorithmException e) {
            throw new IllegalStateException(e);
        }
    }
}
