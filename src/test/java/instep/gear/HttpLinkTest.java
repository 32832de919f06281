package instep.gear;

import static org.assertj.core.api.Assertions.assertThat;

import com.sun.net.httpserver.HttpExchange;
import com.sun.net.httpserver.HttpHandler;
import com.sun.net.httpserver.HttpServer;
import instep.machine.Template;
import java.io.IOException;
import java.net.InetAddress;
import java.net.InetSocketAddress;
import java.nio.charset.StandardCharsets;
import java.util.List;
import java.util.Map;
import java.util.concurrent.CopyOnWriteArrayList;
import java.util.concurrent.CountDownLatch;
import java.util.concurrent.ExecutorService;
import java.util.concurrent.Executors;
import java.util.concurrent.TimeUnit;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedClass;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.EnumSource;
import org.junit.jupiter.params.provider.ValueSource;

/** Against the JDK's own HTTP server. */
@ParameterizedClass
@EnumSource(HandLoop.Kind.class)
class HttpLinkTest {
    /** What the server was asked. */
    private record Asked(String request, Map<String, List<String>> headers, String body, int clientPort) {}

    private final Told told = new Told();
    private final HandLoop hand;
    private final ExecutorService threads = Executors.newCachedThreadPool();
    private final List<Asked> asked = new CopyOnWriteArrayList<>();
    private HttpServer server = HttpServer.create(new InetSocketAddress(InetAddress.getLoopbackAddress(), 0), 0);
    private HttpHandler answer = exchange -> exchange.sendResponseHeaders(200, -1);
    private Rack rack;

    HttpLinkTest(HandLoop.Kind kind) throws IOException {
        hand = new HandLoop(kind);
        rack = new Rack(hand.loop, List.of(), told);
        open(server);
    }

    @AfterEach
    void close() {
        rack.close();
        server.stop(0);
        threads.shutdownNow();
        hand.close();
    }

    @Test
    void sendsJsonWithValuesInItAndReportsTheStatus() {
        start(Say.recorder(port()));

        rack.send(
                Say.json(0, "PUT", "/transport", "{\"mode\":\"record\",\"take\":\"{take}\"}"),
                Say.with("take", "a \"b\"\n"),
                7);
        hand.until(() -> told.has("0 reply"));

        assertThat(told.lines)
                .containsExactly(
                        "0 UP connected to 127.0.0.1:" + port(),
                        "0 sent 7 PUT /transport {\"mode\":\"record\",\"take\":\"a \\\"b\\\"\\u000a\"}",
                        "0 reply 7 200 OK");
        assertThat(asked).singleElement().satisfies(request -> {
            assertThat(request.request()).isEqualTo("PUT /transport");
            assertThat(request.body()).isEqualTo("{\"mode\":\"record\",\"take\":\"a \\\"b\\\"\\u000a\"}");
            assertThat(request.headers().get("Content-type")).containsExactly("application/json");
            assertThat(request.headers().get("Host")).containsExactly("127.0.0.1:" + port());
        });
    }

    @Test
    void addsTheGearsHeadersAndTheRequestsOwnWhichWin() {
        start(new GearSettings.Http(
                "recorder",
                "127.0.0.1",
                port(),
                "/api/v1",
                Map.of("X-Desk", "floor", "X-Key", "gear", "Content-Length", "99"),
                TimeUnit.SECONDS.toNanos(1),
                Say.stale()));

        rack.send(
                Say.message(
                        0,
                        new Payload.Http(
                                "POST",
                                UriTemplate.parse("/note/{take}?lang=dé"),
                                Map.of("x-key", Template.parse("own {take}")),
                                Template.parse("take {take}"),
                                "text/plain",
                                0,
                                0)),
                Say.with("take", "7 ü\r\nX-Evil: 1"),
                1);
        hand.until(() -> told.has("0 reply"));

        assertThat(asked).singleElement().satisfies(request -> {
            assertThat(request.request()).isEqualTo("POST /api/v1/note/7%20%C3%BC%0D%0AX-Evil%3A%201?lang=d%C3%A9");
            assertThat(request.headers().get("X-desk")).containsExactly("floor");
            assertThat(request.headers().get("X-key"))
                    .singleElement()
                    .asString()
                    .startsWith("own 7 ")
                    .endsWith(" X-Evil: 1");
            assertThat(request.headers()).doesNotContainKey("X-evil");
            assertThat(request.body()).isEqualTo("take 7 ü\r\nX-Evil: 1");
        });
    }

    @ParameterizedTest
    @ValueSource(strings = {"GET", "PUT", "POST", "DELETE", "PATCH", "HEAD"})
    void speaksEveryMethodOverOneConnection(String method) {
        answer = exchange -> {
            byte[] body = "state".getBytes(StandardCharsets.UTF_8);
            boolean head = exchange.getRequestMethod().equals("HEAD");
            exchange.getResponseHeaders().set("X-Length", "5");
            exchange.sendResponseHeaders(200, head ? -1 : body.length);
            if (!head) {
                exchange.getResponseBody().write(body);
            }
        };
        start(Say.recorder(port()));

        rack.send(Say.http(0, method, "/a"), Say.NOTHING, 1);
        hand.until(() -> told.has("0 reply 1 200 OK"));
        rack.send(Say.http(0, method, "/b"), Say.NOTHING, 2);
        hand.until(() -> told.has("0 reply 2 200 OK"));

        assertThat(asked).extracting(Asked::request).containsExactly(method + " /a", method + " /b");
        assertThat(asked.get(0).clientPort()).isEqualTo(asked.get(1).clientPort());
    }

    @Test
    void keepsOneRequestInFlightAndTheOthersInOrder() {
        CountDownLatch go = new CountDownLatch(1);
        answer = exchange -> {
            await(go);
            exchange.sendResponseHeaders(200, -1);
        };
        start(Say.recorder(port()));

        for (int i = 1; i <= 3; i++) {
            rack.send(Say.http(0, "POST", "/" + i), Say.NOTHING, i);
        }
        hand.until(() -> asked.size() == 1);
        assertThat(told.count("0 sent")).isEqualTo(1);
        assertThat(rack.isQuiet()).isFalse();
        go.countDown();
        hand.until(rack::isQuiet);

        assertThat(asked).extracting(Asked::request).containsExactly("POST /1", "POST /2", "POST /3");
        assertThat(told.lines)
                .endsWith(
                        "0 sent 1 POST /1",
                        "0 reply 1 200 OK",
                        "0 sent 2 POST /2",
                        "0 reply 2 200 OK",
                        "0 sent 3 POST /3",
                        "0 reply 3 200 OK");
    }

    @Test
    void missesWhatGoesStaleBehindASlowRequest() {
        CountDownLatch go = new CountDownLatch(1);
        answer = exchange -> {
            await(go);
            exchange.sendResponseHeaders(200, -1);
        };
        start(Say.recorder(port()));
        rack.send(Say.http(0, "POST", "/1"), Say.NOTHING, 1);
        rack.send(Say.http(0, "POST", "/2"), Say.NOTHING, 2);
        hand.until(() -> asked.size() == 1);

        hand.pass(Say.STALE_MILLIS);
        go.countDown();
        hand.until(rack::isQuiet);

        assertThat(told.lines)
                .endsWith("0 missed 2 POST /2: the request before it is not answered", "0 reply 1 200 OK");
        assertThat(asked).hasSize(1);
    }

    @Test
    void reportsAWrongStatusWithWhatTheServerSaid() {
        answer = exchange -> {
            byte[] body = "no disk\nin the slot".getBytes(StandardCharsets.UTF_8);
            exchange.sendResponseHeaders(409, body.length);
            exchange.getResponseBody().write(body);
        };
        start(Say.recorder(port()));

        rack.send(Say.http(0, "PUT", "/transport"), Say.NOTHING, 1);
        hand.until(() -> told.has("0 refused"));

        assertThat(told.lines).endsWith("0 refused 1 409 Conflict: no disk in the slot");
    }

    @Test
    void takesOnlyTheStatusThatIsExpected() {
        start(Say.recorder(port()));

        rack.send(expecting(204), Say.NOTHING, 1);
        hand.until(() -> told.has("0 refused"));
        assertThat(told.lines).endsWith("0 refused 1 200 OK, but 204 was expected");

        answer = exchange -> exchange.sendResponseHeaders(204, -1);
        rack.send(expecting(204), Say.NOTHING, 2);
        hand.until(() -> told.has("0 reply 2 204 No Content"));
    }

    @Test
    void reportsSilenceAfterTheTimeThatTheRequestOrTheGearAllows() {
        CountDownLatch go = new CountDownLatch(1);
        answer = exchange -> await(go);
        start(Say.recorder(port()));

        rack.send(within(400), Say.NOTHING, 1);
        hand.until(() -> asked.size() == 1);
        hand.pass(399);
        assertThat(told.has("0 silent")).isFalse();
        hand.pass(1);
        assertThat(told.lines).endsWith("0 silent 1 no answer within 400 ms");

        rack.send(within(0), Say.NOTHING, 2);
        hand.until(() -> asked.size() == 2);
        hand.pass(1_000);
        assertThat(told.lines).endsWith("0 silent 2 no answer within 1000 ms");
        assertThat(asked.get(1).clientPort()).isNotEqualTo(asked.get(0).clientPort());
        go.countDown();
    }

    @Test
    void understandsAChunkedAnswer() {
        answer = exchange -> {
            exchange.sendResponseHeaders(200, 0); // the JDK's server then sends chunks
            exchange.getResponseBody().write("one".getBytes(StandardCharsets.UTF_8));
            exchange.getResponseBody().flush();
            exchange.getResponseBody().write("two".getBytes(StandardCharsets.UTF_8));
        };
        start(Say.recorder(port()));

        rack.send(Say.http(0, "GET", "/a"), Say.NOTHING, 1);
        hand.until(() -> told.has("0 reply 1 200 OK"));
        rack.send(Say.http(0, "GET", "/b"), Say.NOTHING, 2);
        hand.until(() -> told.has("0 reply 2 200 OK"));

        assertThat(asked.get(0).clientPort()).isEqualTo(asked.get(1).clientPort());
    }

    @Test
    void doesNotReadABodyWithoutEnd() {
        answer = exchange -> {
            exchange.sendResponseHeaders(200, 0);
            byte[] piece = new byte[64 * 1_024];
            for (int i = 0; i < 1_000; i++) {
                exchange.getResponseBody().write(piece);
            }
        };
        start(Say.recorder(port()));

        rack.send(Say.http(0, "GET", "/a"), Say.NOTHING, 1);
        hand.until(() -> told.has("0 reply 1 200 OK"));
        answer = exchange -> exchange.sendResponseHeaders(200, -1);
        rack.send(Say.http(0, "GET", "/b"), Say.NOTHING, 2);
        hand.until(() -> told.has("0 reply 2 200 OK"));

        assertThat(asked.get(0).clientPort()).isNotEqualTo(asked.get(1).clientPort());
    }

    @Test
    void knowsOfADeadServerBeforeAnythingIsAsked() {
        int port = port();
        server.stop(0);

        rack = new Rack(hand.loop, List.of(Say.recorder(port)), told);
        rack.start();
        hand.until(() -> told.has("0 LOST"));
        hand.pass(10_000);

        assertThat(told.lines)
                .containsExactly("0 LOST connection refused by 127.0.0.1:" + port + ": is the recorder on?");
        rack.send(Say.http(0, "POST", "/a"), Say.NOTHING, 1);
        hand.pass(Say.STALE_MILLIS);
        assertThat(told.lines).last().asString().startsWith("0 missed 1 POST /a: connection refused");
    }

    @Test
    void findsAServerThatWasRestarted() throws IOException {
        start(Say.recorder(port()));
        rack.send(Say.http(0, "PUT", "/a"), Say.NOTHING, 1);
        hand.until(() -> told.has("0 reply 1"));

        int port = port();
        server.stop(0);
        hand.passUntil(10_000, () -> told.has("0 LOST"));
        server = HttpServer.create(new InetSocketAddress(InetAddress.getLoopbackAddress(), port), 0);
        open(server);
        hand.passUntil(6_000, () -> told.count("0 UP") == 2);
        rack.send(Say.http(0, "PUT", "/b"), Say.NOTHING, 2);
        hand.until(() -> told.has("0 reply 2 200 OK"));

        assertThat(told.count("0 LOST")).isEqualTo(1);
    }

    private void open(HttpServer opened) {
        opened.createContext("/", exchange -> {
            try (exchange) {
                asked.add(read(exchange));
                answer.handle(exchange);
            }
        });
        opened.setExecutor(threads);
        opened.start();
    }

    private static Asked read(HttpExchange exchange) throws IOException {
        return new Asked(
                exchange.getRequestMethod() + " " + exchange.getRequestURI(),
                Map.copyOf(exchange.getRequestHeaders()),
                new String(exchange.getRequestBody().readAllBytes(), StandardCharsets.UTF_8),
                exchange.getRemoteAddress().getPort());
    }

    private int port() {
        return server.getAddress().getPort();
    }

    private void start(GearSettings gear) {
        rack = new Rack(hand.loop, List.of(gear), told);
        rack.start();
        hand.until(() -> rack.isUp(0));
    }

    private static Message expecting(int status) {
        return Say.message(0, new Payload.Http("PUT", UriTemplate.parse("/x"), Map.of(), null, null, status, 0));
    }

    private static Message within(long millis) {
        return Say.message(
                0,
                new Payload.Http(
                        "POST",
                        UriTemplate.parse("/x"),
                        Map.of(),
                        null,
                        null,
                        0,
                        TimeUnit.MILLISECONDS.toNanos(millis)));
    }

    private static void await(CountDownLatch latch) throws IOException {
        try {
            latch.await();
        } catch (InterruptedException e) {
            throw new IOException(e);
        }
    }
}
