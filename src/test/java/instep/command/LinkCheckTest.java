package instep.command;

import static org.assertj.core.api.Assertions.assertThat;

import com.sun.net.httpserver.HttpServer;
import instep.config.ConfigReader;
import instep.config.Settings;
import java.io.BufferedReader;
import java.io.ByteArrayOutputStream;
import java.io.DataInputStream;
import java.io.IOException;
import java.io.InputStreamReader;
import java.io.OutputStream;
import java.io.PrintStream;
import java.net.InetAddress;
import java.net.InetSocketAddress;
import java.net.ServerSocket;
import java.net.Socket;
import java.nio.charset.StandardCharsets;
import java.security.GeneralSecurityException;
import java.security.MessageDigest;
import java.util.ArrayList;
import java.util.Base64;
import java.util.List;
import java.util.concurrent.CopyOnWriteArrayList;
import java.util.concurrent.TimeUnit;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.Test;

/** What counts as an answer, and what does not. */
class LinkCheckTest {
    /** RFC 6455, section 1.3: what a server adds to the key of the opening handshake. */
    private static final String OF_EVERY_SERVER = "258EAFA5-E914-47DA-95CA-C5AB0DC85B11";

    /** Long enough for a busy machine to connect. */
    private static final long LOOKING_SECONDS = 6;

    private static final String MAPPING = """
            instep: 1
            timecode: { rate: 25 }
            gear:
              mixer:  { tcp: "127.0.0.1:TALKER", heartbeat: { send: PING, every: 60m, within: 10s, expect: "^PONG" } }
              deaf:   { tcp: "127.0.0.1:TALKER", heartbeat: { send: HELLO, every: 60m, within: 10s, expect: "^PONG" } }
              vague:  { tcp: "127.0.0.1:TALKER", heartbeat: { send: HELLO, every: 60m, within: 10s } }
              plain:  { tcp: "127.0.0.1:TALKER" }
              polled: { http: "http://127.0.0.1:WEB", poll: { get: /status, every: 60m } }
              web:    { http: "http://127.0.0.1:WEB" }
              panel:  { ws: "ws://127.0.0.1:PANEL/" }
              chat:   { ws: "ws://127.0.0.1:CHAT/" }
            machine: { states: { standby: } }
            """;

    /** What a test opens. */
    private final List<ServerSocket> servers = new ArrayList<>();

    private final HttpServer web;
    private final List<String> asked = new CopyOnWriteArrayList<>();
    private final ByteArrayOutputStream written = new ByteArrayOutputStream();

    private interface Talk {
        void with(Socket socket) throws IOException, GeneralSecurityException;
    }

    LinkCheckTest() throws IOException {
        web = HttpServer.create(new InetSocketAddress(InetAddress.getLoopbackAddress(), 0), 0);
        web.createContext("/", exchange -> {
            asked.add(exchange.getRequestMethod() + " " + exchange.getRequestURI());
            exchange.sendResponseHeaders(404, -1);
            exchange.close();
        });
        web.start();
    }

    @AfterEach
    void close() throws IOException {
        web.stop(0);
        for (ServerSocket server : servers) {
            server.close();
        }
    }

    private int serve(Talk talk) throws IOException {
        ServerSocket server = new ServerSocket(0, 5, InetAddress.getLoopbackAddress());
        servers.add(server);
        daemon(() -> {
            while (!server.isClosed()) {
                try {
                    Socket socket = server.accept();
                    daemon(() -> converse(socket, talk));
                } catch (IOException e) {
                    // closed
                }
            }
        });
        return server.getLocalPort();
    }

    private static void daemon(Runnable task) {
        Thread thread = new Thread(task, "peer");
        thread.setDaemon(true);
        thread.start();
    }

    private static void converse(Socket socket, Talk talk) {
        try (socket) {
            talk.with(socket);
        } catch (IOException e) {
            // gone
        } catch (GeneralSecurityException e) {
            throw new IllegalStateException(e);
        }
    }

    /** Answers a ping and, to everything, says something else first. */
    private static void talkInLines(Socket socket) throws IOException {
        BufferedReader in = new BufferedReader(new InputStreamReader(socket.getInputStream(), StandardCharsets.UTF_8));
        for (String line = in.readLine(); line != null; line = in.readLine()) {
            String said = line.equals("PING") ? "LEVEL 1\r\nPONG\r\n" : "LEVEL 1\r\n";
            socket.getOutputStream().write(said.getBytes(StandardCharsets.US_ASCII));
        }
    }

    /** Agrees to speak WebSocket; after the first frame of the other side it says a text, and answers the ping only if {@code ponging}. */
    private static void talkInFrames(Socket socket, boolean ponging) throws IOException, GeneralSecurityException {
        DataInputStream in = new DataInputStream(socket.getInputStream());
        StringBuilder request = new StringBuilder();
        while (request.indexOf("\r\n\r\n") < 0) {
            request.append((char) in.readUnsignedByte());
        }
        String key = request.toString()
                .lines()
                .filter(line -> line.regionMatches(true, 0, "Sec-WebSocket-Key:", 0, 18))
                .map(line -> line.substring(18).strip())
                .findFirst()
                .orElseThrow();
        byte[] hash =
                MessageDigest.getInstance("SHA-1").digest((key + OF_EVERY_SERVER).getBytes(StandardCharsets.US_ASCII));
        String accepted = "HTTP/1.1 101 Switching Protocols\r\nUpgrade: websocket\r\nConnection: Upgrade\r\n"
                + "Sec-WebSocket-Accept: " + Base64.getEncoder().encodeToString(hash) + "\r\n\r\n";
        socket.getOutputStream().write(accepted.getBytes(StandardCharsets.US_ASCII));
        // Section 5.2: the opcode, the length with the bit that says that it is masked, the mask, what is masked.
        int first = in.readUnsignedByte();
        byte[] mask = new byte[4];
        byte[] payload = new byte[in.readUnsignedByte() & 0x7f];
        in.readFully(mask);
        in.readFully(payload);
        socket.getOutputStream().write(new byte[] {(byte) 0x81, 2, 'h', 'i'});
        if (ponging && (first & 0xf) == 9) {
            for (int i = 0; i < payload.length; i++) {
                payload[i] ^= mask[i % 4];
            }
            socket.getOutputStream().write(new byte[] {(byte) 0x8a, (byte) payload.length});
            socket.getOutputStream().write(payload);
        }
        in.transferTo(OutputStream.nullOutputStream());
    }

    private boolean checked(String yaml) throws Exception {
        Settings settings = ConfigReader.parse("studio.yaml", yaml);
        PrintStream out = new PrintStream(written, true, StandardCharsets.UTF_8);
        return LinkCheck.of(settings, TimeUnit.SECONDS.toNanos(LOOKING_SECONDS), out);
    }

    private String last(String gear) {
        return written.toString(StandardCharsets.UTF_8)
                .lines()
                .filter(line -> line.matches(" +" + gear + " +(up|lost) .*"))
                .reduce("", (before, line) -> line);
    }

    @Test
    void tellsHowLongAnAnswerTakesWhereThereIsOneAndOtherwiseThatThereIsNone() throws Exception {
        assertThat(checked(MAPPING.replace("TALKER", "" + serve(LinkCheckTest::talkInLines))
                        .replace("WEB", "" + web.getAddress().getPort())
                        .replace("PANEL", "" + serve(socket -> talkInFrames(socket, true)))
                        .replace("CHAT", "" + serve(socket -> talkInFrames(socket, false)))))
                .isTrue();
        assertThat(List.of(last("mixer"), last("polled"), last("web"), last("panel")))
                .allMatch(line -> line.matches(".* up .* answers in [0-9]+\\.[0-9] ms"));
        assertThat(List.of(last("deaf"), last("chat"))).allMatch(line -> line.endsWith("up, but it did not answer"));
        assertThat(last("vague")).matches(".* up .* says something after [0-9.]+ ms; .* may be no answer");
        assertThat(last("plain")).endsWith("no answer to time");
        assertThat(asked).containsExactlyInAnyOrder("GET /status", "HEAD /");
    }
}
