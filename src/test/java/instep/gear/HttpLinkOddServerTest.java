package instep.gear;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.io.IOException;
import java.io.OutputStream;
import java.io.UncheckedIOException;
import java.net.InetAddress;
import java.net.ServerSocket;
import java.net.Socket;
import java.nio.charset.StandardCharsets;
import java.util.ArrayDeque;
import java.util.List;
import java.util.Map;
import java.util.concurrent.TimeUnit;
import java.util.regex.Pattern;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedClass;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.EnumSource;
import org.junit.jupiter.params.provider.ValueSource;

/** Against a server that the test plays itself, byte by byte, because no decent server does such things. */
@ParameterizedClass
@EnumSource(HandLoop.Kind.class)
class HttpLinkOddServerTest {
    private static final String OK = "HTTP/1.1 200 OK\r\nContent-Length: 0\r\n\r\n";

    private final Told told = new Told();
    private final ArrayDeque<Socket> accepted = new ArrayDeque<>();
    private final HandLoop hand;
    private final ServerSocket server = new ServerSocket(0, 50, InetAddress.getLoopbackAddress());
    private Rack rack;

    HttpLinkOddServerTest(HandLoop.Kind kind) throws IOException {
        hand = new HandLoop(kind);
        rack = new Rack(hand.loop, List.of(Say.recorder(server.getLocalPort())), told);
        rack.start();
        hand.until(() -> rack.isUp(0));
    }

    @AfterEach
    void close() throws IOException {
        rack.close();
        server.close();
        hand.close();
    }

    @Test
    void makesNoNoiseWhenAnIdleConnectionIsClosedAndConnectsForTheNextRequest() throws IOException {
        accept().close();
        hand.pass(10_000);

        rack.send(Say.http(0, "POST", "/a"), Say.NOTHING, 1);
        hand.until(() -> told.has("0 sent 1"));
        Socket next = accept();
        assertThat(request(next)).startsWith("POST /a HTTP/1.1\r\n");
        say(next, OK);
        hand.until(() -> told.has("0 reply 1 200 OK"));

        assertThat(told.has("0 LOST")).isFalse();
        assertThat(told.count("0 UP")).isEqualTo(1);
    }

    @Test
    void looksOnceWhetherTheServerIsStillThereWhenAUsedConnectionIsClosed() throws IOException {
        Socket first = accept();
        exchange(first, 1);
        first.close();
        hand.passUntil(10_000, this::isReady);
        Socket second = accept();
        second.close();
        hand.pass(10_000);
        assertThat(told.has("0 LOST")).isFalse();

        server.setSoTimeout(1);
        assertThat(isReady()).isFalse();
    }

    @Test
    void repeatsAnIdempotentRequestOnceWhenAKeptConnectionWasClosedUnderIt() throws IOException {
        closeUnder("PUT");
        hand.until(this::isReady);
        Socket second = accept();
        assertThat(request(second)).startsWith("PUT /b HTTP/1.1\r\n");
        say(second, OK);
        hand.until(() -> told.has("0 reply 2 200 OK"));

        assertThat(told.count("0 sent 2")).isEqualTo(1);
        assertThat(told.has("0 LOST")).isFalse();
    }

    @Test
    void doesNotRepeatTheRepetition() throws IOException {
        closeUnder("PUT");
        hand.until(this::isReady);
        Socket second = accept();
        request(second);
        second.close();
        hand.until(() -> told.has("0 silent 2"));

        assertThat(told.lines).contains("0 silent 2 " + where() + " closed the connection before an answer came");
    }

    @Test
    void doesNotRepeatTheRepetitionEvenWhereThereIsTime() throws IOException {
        rack.close();
        accept();
        long patience = TimeUnit.SECONDS.toNanos(60);
        GearSettings patient =
                new GearSettings.Http("recorder", "127.0.0.1", server.getLocalPort(), "", Map.of(), patience, patience);
        rack = new Rack(hand.loop, List.of(patient), told);
        rack.start();
        hand.until(() -> rack.isUp(0));
        closeUnder("PUT");
        hand.until(this::isReady);
        Socket second = accept();
        request(second);
        hand.pass(5_000);
        second.close();
        hand.until(() -> told.has("0 silent 2"));
    }

    /** RFC 9110, section 9.2.2: whether the first one was carried out is not known, so a person decides. */
    @ParameterizedTest
    @ValueSource(strings = {"POST", "PATCH"})
    void neverRepeatsWhatIsNotIdempotent(String method) throws IOException {
        closeUnder(method);
        hand.until(() -> told.has("0 silent 2"));
        hand.passUntil(200, this::isReady); // it looks whether the server is there, but asks nothing

        Socket second = accept();
        second.setSoTimeout(1);
        hand.pass(1_000);
        assertThat(second.getInputStream().available()).isZero();
        assertThat(told.lines).contains("0 silent 2 " + where() + " closed the connection before an answer came");
    }

    @Test
    void missesRatherThanRepeatsTooLate() throws IOException {
        Socket first = accept();
        exchange(first, 1);
        rack.send(Say.http(0, "PUT", "/b"), Say.NOTHING, 2);
        request(first);
        hand.pass(Say.STALE_MILLIS);
        first.close();
        hand.until(() -> told.has("0 silent 2"));

        assertThat(told.has("0 missed")).isFalse();
    }

    @Test
    void missesOnceWhatAFrozenServerDoesNotTakeInTime() throws IOException {
        Socket peer = accept(); // and never read from, until it is too late
        rack.send(Say.json(0, "PUT", "/a", "x".repeat(8 << 20)), Say.NOTHING, 1);
        hand.pass(150);
        rack.send(Say.http(0, "PUT", "/b"), Say.NOTHING, 2);
        hand.pass(Say.STALE_MILLIS - 151);
        assertThat(told.has("0 missed")).isFalse();
        hand.pass(1);

        String frozen = where() + " takes no more bytes: is the recorder frozen?";
        assertThat(told.lines)
                .hasSize(3)
                .contains("0 LOST " + frozen)
                .last()
                .asString()
                .matches("0 missed 1 PUT /a x+…: " + Pattern.quote(frozen));
        hand.pass(1); // NIO closes a socket when it selects next
        assertThatThrownBy(() -> peer.getInputStream().transferTo(OutputStream.nullOutputStream()))
                .hasMessage("Connection reset"); // so what the kernel still held is not delivered, either

        hand.passUntil(149, () -> told.has("0 sent 2")); // what is not stale goes out on the next connection
        assertThat(request(accept())).startsWith("PUT /b ");
    }

    /** RFC 9110, section 15.2: a client reads any number of 1xx responses before the final one. */
    @Test
    void passesOverInterimResponses() throws IOException {
        answer("PUT", "HTTP/1.1 100 Continue\r\n\r\nHTTP/1.1 102 Processing\r\n\r\n" + OK);
        hand.until(() -> told.has("0 reply"));

        assertThat(told.lines).endsWith("0 reply 1 200 OK");
    }

    /** RFC 9112, section 9.3: close means close; so does HTTP/1.0 without keep-alive. */
    @ParameterizedTest
    @ValueSource(
            strings = {
                "HTTP/1.1 200 OK\r\nConnection: close\r\nContent-Length: 0\r\n\r\n",
                "HTTP/1.0 200 OK\r\nContent-Length: 0\r\n\r\n"
            })
    void asksOnANewConnectionAfterTheServerSaidClose(String response) throws IOException {
        answer("POST", response);
        hand.until(() -> told.has("0 reply 1 200 OK"));
        rack.send(Say.http(0, "POST", "/b"), Say.NOTHING, 2);
        hand.until(() -> told.has("0 sent 2"));

        assertThat(request(accept())).startsWith("POST /b ");
        assertThat(told.has("0 LOST")).isFalse();
    }

    /** RFC 9112, section 6.3: without a length, the body ends with the connection. */
    @Test
    void takesTheEndOfTheConnectionForTheEndOfABodyWithoutLength() throws IOException {
        Socket peer = answer("GET", "HTTP/1.1 200 OK\r\n\r\nstate");
        peer.close();
        hand.until(() -> told.has("0 reply 1 200 OK"));

        assertThat(told.has("0 silent")).isFalse();
    }

    @Test
    void saysThatTheServerDoesNotSpeakHttp() throws IOException {
        answer("GET", "ERR what\r\n\r\n");
        hand.until(() -> told.has("0 silent 1"));

        assertThat(told.lines).endsWith("0 silent 1 " + where() + " does not answer in HTTP");
    }

    @Test
    void saysThatTheConnectionEndedInTheMiddleOfAnAnswer() throws IOException {
        Socket peer = answer("GET", "HTTP/1.1 200 OK\r\nContent-Length: 10\r\n\r\nhal");
        peer.close();
        hand.until(() -> told.has("0 silent 1"));

        assertThat(told.lines).endsWith("0 silent 1 " + where() + " closed the connection before an answer came");
    }

    /** Some servers answer 408 before they close an idle connection (RFC 9110, section 15.5.9). */
    @Test
    void doesNotTakeAFarewellForAnAnswer() throws IOException {
        Socket peer = accept();
        say(peer, "HTTP/1.1 408 Request Timeout\r\nContent-Length: 0\r\n\r\n");
        peer.close();
        hand.pass(1_000);
        rack.send(Say.http(0, "POST", "/a"), Say.NOTHING, 1);
        hand.until(() -> told.has("0 sent 1"));
        Socket next = accept();
        request(next);
        say(next, OK);
        hand.until(() -> told.has("0 reply 1 200 OK"));

        assertThat(told.has("0 refused")).isFalse();
        assertThat(told.has("0 LOST")).isFalse();
    }

    /** A request, and what the server says to it. */
    private Socket answer(String method, String response) throws IOException {
        Socket peer = accept();
        rack.send(Say.http(0, method, "/a"), Say.NOTHING, 1);
        request(peer);
        say(peer, response);
        return peer;
    }

    /** A connection that was kept ends while the second request waits for its answer. */
    private void closeUnder(String method) throws IOException {
        Socket peer = accept();
        exchange(peer, 1);
        rack.send(Say.http(0, method, "/b"), Say.NOTHING, 2);
        request(peer);
        peer.close();
    }

    private void exchange(Socket peer, long ticket) throws IOException {
        rack.send(Say.http(0, "PUT", "/a"), Say.NOTHING, ticket);
        request(peer);
        say(peer, OK);
        hand.until(() -> told.has("0 reply " + ticket));
    }

    /** Whether somebody has connected who has not been accepted. */
    private boolean isReady() {
        try {
            server.setSoTimeout(1);
            accepted.add(server.accept());
            return true;
        } catch (IOException e) {
            return !accepted.isEmpty();
        }
    }

    private Socket accept() throws IOException {
        server.setSoTimeout(10_000);
        Socket peer = accepted.isEmpty() ? server.accept() : accepted.remove();
        peer.setSoTimeout(10_000);
        return peer;
    }

    private String request(Socket peer) throws IOException {
        hand.until(() -> isReadable(peer));
        StringBuilder head = new StringBuilder();
        while (head.indexOf("\r\n\r\n") < 0) {
            int b = peer.getInputStream().read();
            assertThat(b).as("the request ends too soon: %s", head).isNotNegative();
            head.append((char) b);
        }
        return head.toString();
    }

    private static boolean isReadable(Socket peer) {
        try {
            return peer.getInputStream().available() > 0;
        } catch (IOException e) {
            throw new UncheckedIOException(e);
        }
    }

    private static void say(Socket peer, String text) throws IOException {
        peer.getOutputStream().write(text.getBytes(StandardCharsets.UTF_8));
    }

    private String where() {
        return "127.0.0.1:" + server.getLocalPort();
    }
}
