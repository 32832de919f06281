package instep.gear;

import static org.assertj.core.api.Assertions.assertThat;

import instep.gear.GearSettings.LineEnd;
import java.io.IOException;
import java.io.UncheckedIOException;
import java.net.ServerSocket;
import java.net.Socket;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.HexFormat;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.concurrent.CompletableFuture;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/** TLS against the JDK's own server sockets. What a client must check: RFC 9110, section 4.3.4; RFC 5280, section 4.1.2.5. */
class TlsTest {
    private static final String HERE = "SAN=ip:127.0.0.1,dns:localhost";

    @TempDir
    static Path folder;

    private static Certificates certificates;
    private static Path good;
    private static Path expired;
    private static Path future;
    private static Path other;

    private final Told told = new Told();
    private final HandLoop hand = new HandLoop(HandLoop.Kind.EPOLL);
    private Rack rack = new Rack(hand.loop, List.of(), told);
    private ServerSocket server = new ServerSocket();

    TlsTest() throws IOException {}

    @BeforeAll
    static void make() throws IOException {
        certificates = new Certificates(folder);
        good = certificates.make("good", "-ext", HERE);
        expired = certificates.make("expired", "-ext", HERE, "-startdate", "-9d", "-validity", "3");
        future = certificates.make("future", "-ext", HERE, "-startdate", "+9d");
        other = certificates.make("other", "-ext", "SAN=dns:mixer.example");
    }

    @AfterEach
    void close() throws IOException {
        rack.close();
        server.close();
        hand.close();
    }

    @Test
    void speaksLinesToWhomItTrusts() throws Exception {
        CompletableFuture<String> heard = echo("good");
        start(mixer(Optional.of(good)));
        hand.until(() -> rack.isUp(0));

        rack.send(Say.text(0, "CUT {angle}"), Say.with("angle", 2L), 7);
        hand.until(() -> told.has("0 reply -1 OK CUT 2"));

        assertThat(heard.get()).isEqualTo("CUT 2");
        assertThat(told.lines).startsWith("0 UP connected to " + where(), "0 sent 7 CUT 2", "0 reply -1 OK CUT 2");
    }

    /** The first example of OSC 1.0, "OSC Message Examples", after its length as an int32 or between two END bytes (RFC 1055). */
    @ParameterizedTest
    @CsvSource({"TCP_LENGTH, 00000020, ''", "TCP_SLIP, c0, c0"})
    void speaksOscOverTlsInBothFramings(GearSettings.OscCarrier carrier, String before, String after) throws Exception {
        byte[] packet = HexFormat.of()
                .parseHex(before + "2f6f7363696c6c61746f722f342f6672657175656e6379002c66000043dc0000" + after);
        server = certificates.serve("good");
        CompletableFuture<byte[]> heard = CompletableFuture.supplyAsync(() -> {
            try (Socket peer = server.accept()) {
                byte[] read = peer.getInputStream().readNBytes(packet.length);
                peer.getOutputStream().write(packet);
                peer.getOutputStream().flush();
                return read;
            } catch (IOException e) {
                throw new UncheckedIOException(e);
            }
        });
        start(new GearSettings.Osc(
                "lamp",
                "127.0.0.1",
                server.getLocalPort(),
                carrier,
                Optional.of(new Tls(Optional.of(good))),
                Say.stale()));
        hand.until(() -> rack.isUp(0));

        rack.send(Say.osc(0, "/oscillator/4/frequency", new Payload.Argument.Float32(440)), Say.NOTHING, 7);
        hand.until(() -> told.has("0 reply -1 /oscillator/4/frequency 440.0"));

        assertThat(heard.get()).isEqualTo(packet);
    }

    @Test
    void asksAWebServerOverTls() throws Exception {
        server = certificates.serve("good");
        CompletableFuture<String> asked = CompletableFuture.supplyAsync(() -> {
            try (Socket peer = server.accept()) {
                String line = line(peer);
                peer.getOutputStream().write("HTTP/1.1 204 No Content\r\n\r\n".getBytes(StandardCharsets.US_ASCII));
                return line;
            } catch (IOException e) {
                return e.toString();
            }
        });
        Access access = new Access(Optional.of(new Tls(Optional.of(good))), Optional.empty(), false);
        start(new GearSettings.Http(
                "recorder", "127.0.0.1", server.getLocalPort(), "", Map.of(), access, 1_000_000_000L, Say.stale()));
        hand.until(() -> rack.isUp(0));

        rack.send(Say.http(0, "PUT", "/roll"), Say.NOTHING, 7);
        hand.until(() -> told.has("0 reply 7 204 No Content"));

        assertThat(asked.get()).isEqualTo("PUT /roll HTTP/1.1");
    }

    @Test
    void refusesACertificateThatHasExpiredEvenIfItIsNamedAsTrusted() throws Exception {
        refuses("expired", Optional.of(expired), "the certificate of " + "WHERE has expired (NotAfter: ");
    }

    @Test
    void refusesACertificateOfTheFuture() throws Exception {
        refuses("future", Optional.of(future), "the certificate of WHERE is not valid yet (NotBefore: ");
    }

    @Test
    void refusesACertificateForAnotherHost() throws Exception {
        refuses("other", Optional.of(other), "the certificate of WHERE is for another host than 127.0.0.1 (No subject");
    }

    @Test
    void refusesACertificateThatNobodyHasSigned() throws Exception {
        refuses(
                "good",
                Optional.empty(),
                "nobody that this machine trusts has signed the certificate of WHERE: name its authority with trust: ");
    }

    @Test
    void saysThatTheOtherSideDoesNotSpeakTls() throws Exception {
        server = new ServerSocket(0, 50, java.net.InetAddress.getLoopbackAddress());
        Thread peer = new Thread(
                () -> {
                    try (Socket socket = server.accept()) {
                        socket.getOutputStream().write("HELLO, I AM A MIXER\r\n".getBytes(StandardCharsets.US_ASCII));
                        socket.getInputStream().read();
                    } catch (IOException e) {
                        // the test is over
                    }
                },
                "mixer");
        peer.setDaemon(true);
        peer.start();
        start(mixer(Optional.of(good)));
        hand.until(() -> told.has("0 LOST"));

        assertThat(told.lines).containsExactly("0 LOST " + where() + " does not speak TLS");
    }

    @Test
    void givesUpOnAPeerThatTakesTheConnectionAndSaysNothing() throws Exception {
        server = new ServerSocket(0, 50, java.net.InetAddress.getLoopbackAddress());
        start(mixer(Optional.of(good)));
        rack.send(Say.text(0, "CUT 1"), Say.NOTHING, 1);
        hand.passUntil(4_000, () -> told.has("0 LOST"));

        assertThat(told.lines)
                .containsExactly(
                        "0 missed 1 CUT 1: not connected yet", "0 LOST " + where() + " does not answer in TLS");
    }

    @Test
    void saysWhichFileOfCertificatesIsMissing() throws Exception {
        server = new ServerSocket(0, 50, java.net.InetAddress.getLoopbackAddress());
        start(mixer(Optional.of(folder.resolve("none.pem"))));
        rack.send(Say.text(0, "CUT 1"), Say.NOTHING, 1);

        assertThat(told.lines.get(0))
                .isEqualTo("0 LOST there is no file of certificates " + folder.resolve("none.pem"));
        assertThat(told.lines.get(1)).startsWith("0 missed 1 CUT 1: there is no file");
    }

    @Test
    void saysThatAFileHoldsNoCertificates() throws Exception {
        server = new ServerSocket(0, 50, java.net.InetAddress.getLoopbackAddress());
        Path empty = Files.writeString(folder.resolve("empty.pem"), "");
        start(mixer(Optional.of(empty)));

        assertThat(told.lines.get(0)).startsWith("0 LOST the certificates to trust cannot be read from " + empty);
    }

    private void refuses(String certificate, Optional<Path> trust, String why) throws Exception {
        CompletableFuture<String> heard = echo(certificate);
        start(mixer(trust));
        rack.send(Say.text(0, "CUT 1"), Say.NOTHING, 1);
        hand.until(() -> told.has("0 LOST"));

        assertThat(told.lines.get(0)).startsWith("0 LOST " + why.replace("WHERE", where()));
        assertThat(told.has("0 sent")).isFalse();
        assertThat(heard.get()).doesNotContain("CUT");
    }

    /** Answers one line. */
    private CompletableFuture<String> echo(String certificate) throws IOException {
        server = certificates.serve(certificate);
        return CompletableFuture.supplyAsync(() -> {
            try (Socket peer = server.accept()) {
                String line = line(peer);
                peer.getOutputStream().write(("OK " + line + "\r\n").getBytes(StandardCharsets.UTF_8));
                peer.getInputStream().read();
                return line;
            } catch (IOException e) {
                return e.toString();
            }
        });
    }

    private static String line(Socket peer) throws IOException {
        StringBuilder line = new StringBuilder();
        for (int b = peer.getInputStream().read();
                b >= 0 && b != '\r';
                b = peer.getInputStream().read()) {
            line.append((char) b);
        }
        return line.toString();
    }

    private GearSettings mixer(Optional<Path> trust) {
        Tls tls = new Tls(trust);
        return new GearSettings.Tcp(
                "mixer", "127.0.0.1", server.getLocalPort(), LineEnd.CRLF, Optional.of(tls), Say.stale());
    }

    private void start(GearSettings gear) {
        rack = new Rack(hand.loop, List.of(gear), told);
        rack.start();
    }

    private String where() {
        return "127.0.0.1:" + server.getLocalPort();
    }
}
