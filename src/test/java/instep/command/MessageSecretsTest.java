package instep.command;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.catchThrowableOfType;
import static org.awaitility.Awaitility.await;

import com.sun.net.httpserver.HttpExchange;
import com.sun.net.httpserver.HttpServer;
import instep.config.ConfigException;
import instep.config.ConfigReader;
import instep.daemon.Daemon;
import instep.input.Performance;
import java.io.BufferedReader;
import java.io.IOException;
import java.io.InputStreamReader;
import java.net.InetAddress;
import java.net.InetSocketAddress;
import java.net.ServerSocket;
import java.net.Socket;
import java.net.URI;
import java.net.http.HttpClient;
import java.net.http.HttpRequest;
import java.net.http.HttpResponse;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.util.List;
import java.util.Optional;
import java.util.concurrent.CopyOnWriteArrayList;
import java.util.concurrent.TimeUnit;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** Secrets in lines, headers, queries and bodies reach the gear, which repeats them; and whatever the program writes or shows is searched for them. */
class MessageSecretsTest {
    /** What it becomes in a target, a form and a string of JSON: RFC 3986, section 2.1, the form of a web page (WHATWG URL), RFC 8259, section 7. */
    private static final String SECRET = "clay/\"wet\" & w7ater";

    private static final String IN_TARGET = "clay%2F%22wet%22%20%26%20w7ater";
    /** RFC 6570, section 3.2.3: reserved characters stay. */
    private static final String IN_PATH = "clay/%22wet%22%20&%20w7ater";

    private static final String IN_JSON = "clay/\\\"wet\\\" & w7ater";
    private static final SecretSearch SEARCH =
            new SecretSearch(List.of("clay/\"", "clay%2F", "clay/%22", "clay/\\\"", "w7ater"));

    private static final String MAPPING = """
            instep: 1
            timecode: { rate: 25 }
            desk: { port: DESK }
            gear:
              mixer:
                tcp: 127.0.0.1:LINES
                stale-after: 20s
                heartbeat: { send: "PING {secret.odd}", every: 200ms, within: 200ms }
                replies: [{ line: "^LOGIN (?<who>.*)$", event: mixer.in, set: { who: "{who}" } }]
              deck:
                http: http://127.0.0.1:WEB
                stale-after: 20s
                within: 20s
                headers: { X-Key: "{secret.odd}", X-Braces: "{not a value}" }
                poll: { get: /status, query: { key: "{secret.odd}" }, every: 200ms }
                replies: [{ line: "query", event: deck.said }]
            messages:
              login:
                - mixer: "LOGIN {secret.odd}"
                - deck: { put: "/at/{secret.odd}{?secret.odd}", headers: { X-Other: "b {secret.odd}" }, json: { key: "{secret.odd}" } }
                - deck: { get: "/under/{+secret.odd}{#secret.odd}" }
                - deck: { post: /form, form: { key: "{secret.odd}" } }
            pedals:
              floor: { match: { usb: "1209:2303" }, contacts: { right: KEY_C } }
            machine:
              states:
                standby:
                  on:
                    right.press: { send: login }
                    mixer.in: { mark: in, text: "{who}" }
            """;

    @TempDir
    private Path folder = Path.of("");

    private final List<String> heard = new CopyOnWriteArrayList<>();
    private final HttpServer web;
    private final ServerSocket lines;
    private Path config = Path.of("");

    MessageSecretsTest() throws IOException {
        web = HttpServer.create(new InetSocketAddress(InetAddress.getLoopbackAddress(), 0), 0);
        lines = new ServerSocket(0, 5, InetAddress.getLoopbackAddress());
    }

    @BeforeEach
    void open() throws IOException {
        web.createContext("/", this::repeat);
        web.start();
        Thread echo = new Thread(this::echo, "echo");
        echo.setDaemon(true);
        echo.start();
        int desk;
        try (ServerSocket free = new ServerSocket(0, 1, InetAddress.getLoopbackAddress())) {
            desk = free.getLocalPort();
        }
        config = folder.resolve("lesson.yaml");
        Files.writeString(
                config,
                MAPPING.replace("WEB", "" + web.getAddress().getPort())
                        .replace("LINES", "" + lines.getLocalPort())
                        .replace("DESK", "" + desk));
        SecretSearch.keep(folder, "odd", SECRET);
    }

    @AfterEach
    void close() throws IOException {
        web.stop(0);
        lines.close();
    }

    private void echo() {
        while (!lines.isClosed()) {
            try (Socket peer = lines.accept();
                    BufferedReader in =
                            new BufferedReader(new InputStreamReader(peer.getInputStream(), StandardCharsets.UTF_8))) {
                for (String line = in.readLine(); line != null; line = in.readLine()) {
                    heard.add(line);
                    peer.getOutputStream().write((line + "\r\n").getBytes(StandardCharsets.UTF_8));
                }
            } catch (IOException e) {
                // the next one
            }
        }
    }

    private void repeat(HttpExchange exchange) throws IOException {
        String body = new String(exchange.getRequestBody().readAllBytes(), StandardCharsets.UTF_8);
        String said = exchange.getRequestMethod() + " " + exchange.getRequestURI() + " "
                + exchange.getRequestHeaders().getFirst("X-Key") + " "
                + exchange.getRequestHeaders().getFirst("X-Other") + " "
                + exchange.getRequestHeaders().getFirst("X-Braces") + " " + body;
        heard.add(said);
        byte[] answer = ("query " + said).getBytes(StandardCharsets.UTF_8);
        exchange.sendResponseHeaders(body.startsWith("key=") ? 403 : 200, answer.length);
        exchange.getResponseBody().write(answer);
        exchange.close();
    }

    @Test
    void reachTheGearAndStandInNothingThatADaemonWritesOrShows() throws Exception {
        Performance press = Performance.parse("press.performance", "0.3 right close\n0.4 right open\n");
        Path journal = folder.resolve("journal");
        Daemon daemon =
                Daemon.start(ConfigReader.read(config), new Daemon.Options(journal, 1, Optional.of(press), false));
        try {
            URI page = daemon.page().orElseThrow();
            await().atMost(Duration.ofSeconds(60))
                    .until(() -> Files.readString(journal.resolve("events.log")).contains("403 Forbidden"));
            for (String path : List.of("/", "/metrics", "/desk.js")) {
                SEARCH.holdsNone(path, shown(page.resolve(path)));
            }
            String events = firstOf(page.resolve("/events"));
            SEARCH.holdsNone("/events", events);
            assertThat(events).contains("(secret)");
        } finally {
            daemon.close("over");
        }
        assertThat(heard)
                .contains("LOGIN " + SECRET, "PING " + SECRET)
                .contains("GET /status?key=" + IN_TARGET + " " + SECRET + " null {not a value} ")
                .contains("PUT /at/" + IN_TARGET + "?secret.odd=" + IN_TARGET + " " + SECRET + " b " + SECRET
                        + " {not a value} {\"key\":\"" + IN_JSON + "\"}")
                .contains("GET /under/" + IN_PATH + "#" + IN_PATH + " " + SECRET + " null {not a value} ")
                .contains("POST /form " + SECRET + " null {not a value} key=" + IN_TARGET);
        assertThat(SEARCH.holdsNone(journal))
                .contains("LOGIN (secret)", "POST /form key=(secret)", "GET /under/(secret)#(secret)")
                .contains("\"kind\":\"mark\"");
    }

    private static String shown(URI at) throws Exception {
        return HttpClient.newHttpClient()
                .send(HttpRequest.newBuilder(at).build(), HttpResponse.BodyHandlers.ofString())
                .body();
    }

    /** What the page begins with. */
    private static String firstOf(URI at) throws Exception {
        HttpResponse<java.io.InputStream> events = HttpClient.newHttpClient()
                .send(HttpRequest.newBuilder(at).build(), HttpResponse.BodyHandlers.ofInputStream());
        StringBuilder text = new StringBuilder();
        try (BufferedReader in = new BufferedReader(new InputStreamReader(events.body(), StandardCharsets.UTF_8))) {
            for (String line = in.readLine();
                    line != null && !text.toString().contains("data:");
                    line = in.readLine()) {
                text.append(line).append('\n');
            }
        }
        return text.toString();
    }

    @Test
    void standInNothingThatTheCommandsSay() {
        String file = config.toString();
        List<String[]> commands = List.of(
                new String[] {"check", file},
                new String[] {"gear", file, "--seconds", "1"},
                new String[] {"try", file, "mixer", "login"},
                new String[] {"try", file, "deck", "login"});
        for (String[] words : commands) {
            Said said = Said.by(words);
            SEARCH.holdsNoneInColumns(words[0], said.out() + said.err());
        }
        assertThat(heard).contains("LOGIN " + SECRET, "PING " + SECRET);
    }

    /** In a process of its own, what it says on its two outputs; then what is said of its journal, and of the same mapping without this gear. */
    @Tag("lab")
    @Test
    void standInNothingThatTheProgramSaysWhileItRunsOrOfItsJournal() throws Exception {
        Path press = folder.resolve("press.performance");
        Files.writeString(press, "0.3 right close\n0.4 right open\n3 right close\n3.1 right open\n");
        String file = config.toString();
        String feet = press.toString();
        String journal = folder.resolve("live").toString();
        Path both = folder.resolve("both");
        Process running = new ProcessBuilder(
                        Path.of(System.getProperty("java.home"), "bin", "java").toString(),
                        "-cp",
                        System.getProperty("java.class.path"),
                        "instep.Main",
                        "run",
                        file,
                        "--performance",
                        feet,
                        "--journal",
                        journal)
                .redirectErrorStream(true)
                .redirectOutput(both.toFile())
                .start();
        assertThat(running.waitFor(2, TimeUnit.MINUTES)).isTrue();
        String said = Files.readString(both);
        SEARCH.holdsNone("run", said);
        assertThat(said).contains("LOGIN (secret)");

        String again = folder.resolve("again").toString();
        String shown = folder.resolve("shown").toString();
        List<String[]> commands = List.of(
                new String[] {"rehearse", file, "--performance", feet},
                new String[] {"replay", journal, "-o", again},
                new String[] {"replay", journal, file, "-o", again + "-other"},
                new String[] {"journal", "show", journal},
                new String[] {"demo", "--config", file, "--performance", feet, "--journal", shown});
        for (String[] words : commands) {
            Said each = Said.by(words);
            SEARCH.holdsNone(words[0], each.out() + each.err());
            if (!words[0].equals("replay")) { // which tells of cuts and takes
                assertThat(each.out()).as(words[0]).contains("LOGIN (secret)");
            }
        }
        for (String path : List.of(journal, again, again + "-other", shown)) {
            assertThat(SEARCH.holdsNone(Path.of(path))).contains("LOGIN (secret)");
        }
    }

    @Test
    void standNowhereButInWhatGearIsTold() {
        String yaml = MAPPING.replace("DESK", "9780")
                .replace("LINES", "9701")
                .replace("WEB", "9702")
                .replace("text: \"{who}\"", "text: \"{secret.odd}\"");
        assertThat(catchThrowableOfType(ConfigException.class, () -> ConfigReader.parse("lesson.yaml", yaml))
                        .getMessage())
                .contains("a secret can stand only in what gear is told");
    }
}
