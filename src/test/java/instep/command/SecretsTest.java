package instep.command;

import static org.assertj.core.api.Assertions.assertThat;
import static org.awaitility.Awaitility.await;

import com.sun.net.httpserver.HttpExchange;
import com.sun.net.httpserver.HttpServer;
import instep.advice.CheckReport;
import instep.config.ConfigReader;
import instep.config.Settings;
import instep.daemon.Daemon;
import instep.input.Performance;
import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.io.PrintStream;
import java.net.InetAddress;
import java.net.InetSocketAddress;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.util.Base64;
import java.util.List;
import java.util.Optional;
import java.util.concurrent.CopyOnWriteArrayList;
import java.util.concurrent.TimeUnit;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** Searches all that the program writes for a secret, while the gear that knows it repeats it in every answer. */
class SecretsTest {
    private static final String SECRET = "clay-and-water-7";
    private static final String PART = "clay-and-w";
    /** A refusal is told with the beginning of what was said, which ends in the middle of the secret. */
    private static final String BEFORE_THE_CUT = "-".repeat(160 - PART.length());

    private static final String PAIR = "potter:" + SECRET;
    private static final SecretSearch SEARCH = new SecretSearch(List.of(SECRET, PART, base64(SECRET), base64(PAIR)));
    private static final String MAPPING = """
            instep: 1
            timecode: { rate: 25 }
            gear:
              recorder:
                http: http://127.0.0.1:PORT
                basic: { user: potter, secret: recorder }
                stale-after: 20s
                within: 20s
                poll: { get: /status, every: 100ms }
                replies:
                  - { pointer: /mode, equals: record, event: recorder.going }
              deck:
                http: http://127.0.0.1:PORT
                bearer: { secret: recorder }
                stale-after: 20s
                within: 20s
            messages:
              roll:
                - recorder: { put: /status }
                - deck: { put: /denied }
            pedals:
              floor: { match: { usb: "1209:2303" }, contacts: { right: KEY_C } }
            machine:
              states:
                standby:
                  on:
                    right.press: { send: roll }
                    recorder.going: { mark: going }
            """;

    @TempDir
    private Path folder = Path.of("");

    private final ByteArrayOutputStream shown = new ByteArrayOutputStream();
    private final PrintStream out = new PrintStream(shown, true, StandardCharsets.UTF_8);
    private final List<String> asked = new CopyOnWriteArrayList<>();
    private final HttpServer server;
    private Path config = Path.of("");

    SecretsTest() throws IOException {
        server = HttpServer.create(new InetSocketAddress(InetAddress.getLoopbackAddress(), 0), 0);
    }

    @BeforeEach
    void open() throws IOException {
        server.createContext("/", this::repeat);
        server.start();
        config = folder.resolve("lesson.yaml");
        Files.writeString(
                config, MAPPING.replace("PORT", "" + server.getAddress().getPort()));
        SecretSearch.keep(folder, "recorder", SECRET);
    }

    @AfterEach
    void close() {
        server.stop(0);
    }

    private void repeat(HttpExchange exchange) throws IOException {
        String who = exchange.getRequestHeaders().getFirst("Authorization");
        boolean denied = exchange.getRequestURI().getPath().equals("/denied");
        asked.add(exchange.getRequestMethod() + " " + who);
        String said = "{\"mode\":\"record\",\"who\":\"" + who + "\",\"plain\":\"" + SECRET + "\",\"coded\":\""
                + base64(SECRET) + "\"}";
        byte[] body = (denied ? BEFORE_THE_CUT + SECRET + said : said).getBytes(StandardCharsets.UTF_8);
        exchange.sendResponseHeaders(denied ? 403 : 200, body.length);
        int middle = denied ? BEFORE_THE_CUT.length() + PART.length() : body.length;
        exchange.getResponseBody().write(body, 0, middle);
        exchange.getResponseBody().flush();
        exchange.getResponseBody().write(body, middle, body.length - middle);
        exchange.close();
    }

    private static String base64(String text) {
        return Base64.getEncoder().encodeToString(text.getBytes(StandardCharsets.UTF_8));
    }

    @Test
    void standInNothingThatADaemonWrites() throws Exception {
        Settings settings = ConfigReader.read(config);
        Performance press = Performance.parse("press.performance", "0.3 right close\n0.4 right open\n");
        Path journal = folder.resolve("journal");
        Daemon daemon = Daemon.start(settings, new Daemon.Options(journal, 1, Optional.of(press), false));
        try {
            await().atMost(Duration.ofSeconds(20))
                    .until(() -> Files.readString(journal.resolve("events.log")).contains("403 Forbidden"));
        } finally {
            daemon.close("over");
        }
        assertThat(asked).contains("PUT Basic " + base64(PAIR), "PUT Bearer " + SECRET);
        assertThat(SEARCH.holdsNone(journal)).contains("\"heeded\":true", "(secret)");
    }

    @Test
    void standInNothingThatTheCommandsShow() throws Exception {
        Settings settings = ConfigReader.read(config);
        SEARCH.holdsNone("check", CheckReport.of(settings));

        assertThat(LinkCheck.of(settings, TimeUnit.MILLISECONDS.toNanos(500), out))
                .isTrue();
        for (int gear = 0; gear < 2; gear++) {
            Trial.message(settings, gear, settings.messages().get(0), TimeUnit.MILLISECONDS.toNanos(300), out);
        }
        assertThat(SEARCH.holdsNoneInColumns("try", shown.toString(StandardCharsets.UTF_8)))
                .contains("Authorization: Basic ****", "Authorization: Bearer ****");
    }
}
