package instep.gear;

import static org.assertj.core.api.Assertions.assertThat;

import com.sun.net.httpserver.HttpExchange;
import com.sun.net.httpserver.HttpServer;
import instep.machine.Template;
import java.io.IOException;
import java.net.InetAddress;
import java.net.InetSocketAddress;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.attribute.PosixFilePermissions;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.concurrent.CopyOnWriteArrayList;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/** Logins and redirections, against the JDK's web server. */
class HttpAccessTest {
    private static final String PASSWORD = "open sesame";

    @TempDir
    Path secrets;

    private final Told told = new Told();
    private final HandLoop hand = new HandLoop(HandLoop.Kind.EPOLL);
    private final List<String> asked = new CopyOnWriteArrayList<>();
    private Rack rack = new Rack(hand.loop, List.of(), told);
    private HttpServer server;

    HttpAccessTest() throws IOException {
        server = HttpServer.create(new InetSocketAddress(InetAddress.getLoopbackAddress(), 0), 5);
    }

    @BeforeEach
    void open() throws IOException {
        server.createContext("/", this::answer);
        server.start();
        secret(PASSWORD + "\n", "rw-------");
    }

    @AfterEach
    void close() {
        rack.close();
        server.stop(0);
        hand.close();
    }

    /** Tells who asks, in its answer: as a careless server does. */
    private void answer(HttpExchange exchange) throws IOException {
        String target = exchange.getRequestURI().toString();
        String who = exchange.getRequestHeaders().getFirst("Authorization");
        String body = new String(exchange.getRequestBody().readAllBytes(), StandardCharsets.UTF_8);
        asked.add(exchange.getRequestMethod() + " " + target + " " + who + " " + body);
        if (target.startsWith("/to/")) { // /to/302/elsewhere
            exchange.getResponseHeaders().set("Location", target.substring(7));
            exchange.sendResponseHeaders(Integer.parseInt(target.substring(4, 7)), -1);
        } else if (target.equals("/round")) {
            exchange.getResponseHeaders().set("Location", "/round");
            exchange.sendResponseHeaders(307, -1);
        } else {
            byte[] no = ("not you: " + who + " " + PASSWORD).getBytes(StandardCharsets.UTF_8);
            exchange.sendResponseHeaders(target.equals("/denied") ? 401 : 200, no.length);
            exchange.getResponseBody().write(no);
        }
        exchange.close();
    }

    /** RFC 7617, section 2: the user "Aladdin" with the password "open sesame". */
    @Test
    void logsInAsTheStandardsExampleDoesAndNeverShowsTheSecret() {
        Secret secret = new Secret("recorder", secrets);
        start(new Access(Optional.empty(), Optional.of(new Login.Basic("Aladdin", secret)), false));
        rack.send(Say.http(0, "GET", "/status"), Say.NOTHING, 1);
        rack.send(Say.http(0, "GET", "/denied"), Say.NOTHING, 2);
        hand.until(() -> told.has("0 refused 2"));

        assertThat(asked.get(0)).startsWith("GET /status Basic QWxhZGRpbjpvcGVuIHNlc2FtZQ==");
        assertThat(told.lines).last().isEqualTo("0 refused 2 401 Unauthorized: not you: Basic (secret) (secret)");
        assertThat(told.lines).noneMatch(line -> line.contains("sesame") || line.contains("QWxhZGRpbj"));
        assertThat(new Login.Basic("Aladdin", secret).toString()).doesNotContain("sesame");
    }

    /** RFC 6750, section 2.1. */
    @Test
    void showsATokenToTheServerAlone() {
        start(new Access(Optional.empty(), Optional.of(new Login.Bearer(new Secret("recorder", secrets))), false));
        rack.send(Say.http(0, "GET", "/denied"), Say.NOTHING, 2);
        hand.until(() -> told.has("0 refused 2"));

        assertThat(asked.get(0)).startsWith("GET /denied Bearer open sesame");
        assertThat(told.lines).noneMatch(line -> line.contains("sesame"));
    }

    @ParameterizedTest
    @CsvSource({"rw-r-----", "rw----r--", "rw-------"})
    void readsASecretOnlyWhereNobodyElseCan(String mode) throws IOException {
        secret(PASSWORD, mode);
        start(new Access(Optional.empty(), Optional.of(new Login.Bearer(new Secret("recorder", secrets))), false));
        boolean kept = mode.equals("rw-------");
        hand.until(() -> kept ? rack.isUp(0) : told.has("0 LOST"));

        String file = secrets.resolve("recorder").toString();
        assertThat(told.lines)
                .first()
                .asString()
                .startsWith(
                        kept ? "0 UP" : "0 LOST others than its owner may read the secret in " + file + ": chmod 600");
    }

    @Test
    void saysWhereASecretIsMissing() {
        start(new Access(Optional.empty(), Optional.of(new Login.Bearer(new Secret("other", secrets))), false));

        assertThat(told.lines)
                .containsExactly("0 LOST there is no secret other: put it into the file " + secrets.resolve("other")
                        + " with mode 0600, or give the service a credential of that name");
    }

    /** systemd.exec(5), LoadCredential=: $CREDENTIALS_DIRECTORY/NAME, kept safe by the service manager. */
    @Test
    void takesACredentialOfTheServiceBeforeAFile() throws Exception {
        Path credentials = Files.createDirectory(secrets.resolve("credentials"));
        Secret secret = new Secret("recorder", secrets);
        assertThat(secret.read(Optional.of(credentials))).isEqualTo(PASSWORD);
        Files.writeString(credentials.resolve("recorder"), "from the service");
        assertThat(secret.read(Optional.of(credentials))).isEqualTo("from the service");
    }

    /** systemd.exec(5), LoadCredential= of a folder: the name of a file in it comes after that of the folder. */
    @Test
    void takesACredentialOfTheServicesFolderOfSecrets() throws Exception {
        Path credentials = Files.createDirectory(secrets.resolve("credentials"));
        Files.writeString(credentials.resolve("secret_recorder"), "from the folder");
        assertThat(new Secret("recorder", secrets).read(Optional.of(credentials)))
                .isEqualTo("from the folder");
    }

    /** RFC 9110, section 15.4: which method goes where. Two requests are seen where it is followed, else one. */
    @ParameterizedTest
    @CsvSource({
        "GET,301,2,GET",
        "GET,302,2,GET",
        "GET,303,2,GET",
        "GET,307,2,GET",
        "GET,308,2,GET",
        "HEAD,302,2,HEAD",
        "PUT,307,2,PUT",
        "POST,308,2,POST",
        "PUT,303,2,GET",
        "PUT,301,1,PUT",
        "POST,302,1,POST"
    })
    void followsWhereThatDoesWhatWasAsked(String method, int status, int requests, String then) {
        start(new Access(Optional.empty(), Optional.empty(), true));
        Message message = method.startsWith("P")
                ? Say.json(0, method, "/to/" + status + "/there?a=1", "{}")
                : Say.http(0, method, "/to/" + status + "/there?a=1");
        rack.send(message, Say.NOTHING, 1);
        hand.until(() -> told.has("0 reply 1") || told.has("0 refused 1"));

        assertThat(asked).hasSize(requests);
        assertThat(asked.get(requests - 1)).startsWith(then + " ");
        if (requests == 2) {
            assertThat(told.lines).last().isEqualTo("0 reply 1 200 OK");
            assertThat(asked.get(1)).isEqualTo(then + " /there?a=1 null " + (then.startsWith("P") ? "{}" : ""));
        } else {
            assertThat(told.lines).last().asString().endsWith("since it could do something else than was asked");
        }
    }

    @Test
    void followsNothingUnasked() {
        start(Access.OPEN);
        rack.send(Say.http(0, "GET", "/to/302/there"), Say.NOTHING, 1);
        hand.until(() -> told.has("0 refused 1"));

        assertThat(asked).hasSize(1);
        assertThat(told.lines) // in this server's own words for 302
                .last()
                .isEqualTo("0 refused 1 302 Temporary Redirect to /there; it is not followed without follow: true");
    }

    @ParameterizedTest
    @CsvSource({"//192.0.2.1/there", "/@192.0.2.1/"})
    void followsNobodyToAnotherHost(String where) {
        start(new Access(Optional.empty(), Optional.empty(), true));
        String location = where.startsWith("/@") ? "/there" : where;
        rack.send(Say.http(0, "GET", "/to/302" + location), Say.NOTHING, 1);
        hand.until(() -> told.has("0 refused 1") || told.has("0 reply 1"));

        assertThat(asked).hasSize(where.startsWith("//") ? 1 : 2);
    }

    @Test
    void leavesACircle() {
        start(new Access(Optional.empty(), Optional.empty(), true));
        rack.send(Say.http(0, "GET", "/round"), Say.NOTHING, 1);
        hand.until(() -> told.has("0 refused 1"));

        assertThat(asked).hasSize(6);
    }

    /** WHATWG URL, section 5: application/x-www-form-urlencoded. */
    @Test
    void sendsAForm() {
        start(Access.OPEN);
        Payload form = new Payload.Http(
                "POST",
                UriTemplate.parse("/form"),
                Map.of(),
                Template.parse("take={take}&on=1"),
                HttpEncoder.FORM,
                0,
                0);
        rack.send(Say.message(0, form), Say.with("take", "7&on=0 é"), 1);
        hand.until(() -> told.has("0 reply 1"));

        assertThat(asked).containsExactly("POST /form null take=7%26on%3D0%20%C3%A9&on=1");
    }

    private void secret(String text, String mode) throws IOException {
        Path file = Files.writeString(secrets.resolve("recorder"), text);
        Files.setPosixFilePermissions(file, PosixFilePermissions.fromString(mode));
    }

    private void start(Access access) {
        int port = server.getAddress().getPort();
        rack = new Rack(
                hand.loop,
                List.of(new GearSettings.Http(
                        "recorder", "127.0.0.1", port, "", Map.of(), access, 1_000_000_000L, Say.stale())),
                told);
        rack.start();
        hand.until(() -> !told.lines.isEmpty());
    }
}
