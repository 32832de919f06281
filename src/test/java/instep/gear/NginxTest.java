package instep.gear;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.io.UncheckedIOException;
import java.net.InetAddress;
import java.net.ServerSocket;
import java.net.Socket;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.attribute.PosixFilePermissions;
import java.util.Collections;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.concurrent.TimeUnit;
import org.jspecify.annotations.Nullable;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/** Against nginx from Debian, with TLS and a login of its own: what HTTP and TLS are is not for us to say. */
class NginxTest {
    private static final String NGINX = "/usr/sbin/nginx";
    private static final String PASSWORD = "clay and water";
    private static final String CONFIGURATION = """
            daemon off;
            master_process off;
            pid FOLDER/nginx.pid;
            error_log stderr;
            events { worker_connections 32; }
            http {
              access_log FOLDER/access.log;
              client_body_temp_path FOLDER/a; proxy_temp_path FOLDER/b; fastcgi_temp_path FOLDER/c;
              uwsgi_temp_path FOLDER/d; scgi_temp_path FOLDER/e;
              keepalive_requests 3;
              server {
                listen 127.0.0.1:PORT ssl;
                ssl_certificate FOLDER/good.pem;
                ssl_certificate_key FOLDER/good.key;
                root FOLDER/www;
                location /status { auth_basic studio; auth_basic_user_file FOLDER/users; }
                location /full { return 429 "come again later"; }
                location /broken { return 500; }
                location /old { return 301 /status; }
                location /empty { return 204; }
              }
            }
            """;

    @TempDir
    private Path folder = Path.of("");

    private final Told told = new Told();
    private final HandLoop hand = new HandLoop(HandLoop.Kind.EPOLL);
    private final StringBuilder tapped = new StringBuilder();
    private Rack rack = new Rack(hand.loop, List.of(), told);
    private Path trusted = Path.of("");
    private @Nullable Peer server;
    private int port;

    @BeforeEach
    void write() throws IOException {
        Peer.needs(NGINX, "nginx");
        Certificates certificates = new Certificates(folder);
        trusted = certificates.make("good", "-ext", "SAN=ip:127.0.0.1");
        certificates.key("good");
        try (ServerSocket free = new ServerSocket(0, 1, InetAddress.getLoopbackAddress())) {
            port = free.getLocalPort();
        }
        Files.createDirectory(folder.resolve("www"));
        Files.writeString(folder.resolve("www/status"), "{\"mode\":\"record\"}\n");
        Files.writeString(folder.resolve("users"), "potter:{PLAIN}" + PASSWORD + "\n");
        Files.writeString(
                folder.resolve("nginx.conf"),
                CONFIGURATION.replace("FOLDER", folder.toString()).replace("PORT", "" + port));
    }

    @AfterEach
    void close() {
        rack.close();
        hand.close();
        if (server != null) {
            server.close();
        }
    }

    /** It has begun: no time passes for us while it does, so that none runs out. */
    private boolean accepts() {
        try (Socket probe = new Socket(InetAddress.getLoopbackAddress(), port)) {
            return probe.isConnected();
        } catch (IOException e) {
            return false;
        }
    }

    private void start(String secret, boolean follow) throws IOException {
        Path file = folder.resolve("recorder");
        Files.deleteIfExists(file);
        Files.createFile(file, PosixFilePermissions.asFileAttribute(PosixFilePermissions.fromString("rw-------")));
        Files.writeString(file, secret);
        Login login = new Login.Basic("potter", new Secret("recorder", folder));
        Access access = new Access(Optional.of(new Tls(Optional.of(trusted))), Optional.of(login), follow);
        GearSettings recorder = new GearSettings.Http(
                "recorder", "127.0.0.1", port, "", Map.of(), access, TimeUnit.SECONDS.toNanos(5), Say.stale());
        rack = Rack.tapped(
                hand.loop,
                List.of(recorder),
                Collections.nCopies(1, Listening.PLAIN),
                told,
                (out, bytes) -> tapped.append(new String(bytes, StandardCharsets.US_ASCII)));
        server = Peer.start(
                NGINX,
                "-p",
                folder.toString(),
                "-e",
                "stderr",
                "-c",
                folder.resolve("nginx.conf").toString());
        hand.until(this::accepts);
        rack.start();
        hand.until(() -> rack.isUp(0));
    }

    private void ask(String target, int ticket) {
        rack.send(Say.http(0, "GET", target), Say.NOTHING, ticket);
        hand.until(() -> told.has("0 reply " + ticket) || told.has("0 refused " + ticket));
    }

    private List<String> logged() {
        try {
            return Files.readAllLines(folder.resolve("access.log"));
        } catch (IOException e) {
            throw new UncheckedIOException(e);
        }
    }

    /** nginx ends each connection after three requests, in good order, and nothing is lost by it. */
    @Test
    void answersAllThatIsAskedOverTls() throws IOException {
        start(PASSWORD, false);
        for (int i = 1; i <= 10; i++) {
            ask("/status", i);
        }
        assertThat(told.count("0 reply")).isEqualTo(10);
        assertThat(told.lines).contains("0 reply 10 200 OK");
        assertThat(told.has("0 LOST")).isFalse();
        hand.until(() -> logged().size() == 10);
        assertThat(logged()).allMatch(line -> line.contains("potter") && line.contains("\"GET /status HTTP/1.1\" 200"));
    }

    @Test
    void showsWithinTlsWhatIsSaidAndNeverTheSecret() throws IOException {
        start(PASSWORD, false);
        ask("/status", 1);
        assertThat(tapped)
                .contains("GET /status HTTP/1.1\r\n", "Authorization: Basic ****", "200 OK", "{\"mode\":\"record\"}")
                .doesNotContain(PASSWORD, "cG90dGVyOm");
    }

    @Test
    void isRefusedWithAnotherPassword() throws IOException {
        start("glaze", false);
        ask("/status", 1);
        assertThat(told.lines).anyMatch(line -> line.startsWith("0 refused 1 401 Unauthorized"));
    }

    @ParameterizedTest
    @CsvSource({
        "/full, 0 refused 1 429 Too Many Requests: come again later",
        "/broken, 0 refused 1 500 Internal Server Error: <html>",
        "/nowhere, 0 refused 1 404 Not Found: <html>",
        "/old, 0 refused 1 301 Moved Permanently to https://127.0.0.1:PORT/status; it is not followed without",
        "/empty, 0 reply 1 204 No Content"
    })
    void tellsWhatTheServerMakesOfIt(String target, String outcome) throws IOException {
        start(PASSWORD, false);
        ask(target, 1);
        assertThat(told.lines).last().asString().startsWith(outcome.replace("PORT", "" + port));
    }

    @Test
    void followsWhereItIsAskedTo() throws IOException {
        start(PASSWORD, true);
        ask("/old", 1);
        assertThat(told.lines).last().isEqualTo("0 reply 1 200 OK");
    }
}
