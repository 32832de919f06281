package instep.daemon;

import static org.assertj.core.api.Assertions.assertThat;
import static org.awaitility.Awaitility.await;

import instep.config.ConfigReader;
import instep.config.Settings;
import instep.demo.PotteryLesson;
import instep.demo.Stage;
import instep.demo.StandIn;
import instep.desk.DeskSettings;
import instep.input.KeyPipe;
import instep.input.Performance;
import java.io.BufferedReader;
import java.io.IOException;
import java.io.InputStream;
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
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.concurrent.TimeUnit;
import java.util.stream.Stream;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** The running desk with its page. */
class DeskDaemonTest {
    private static final int MIXER = 0;
    private static final int PRESSES = 10;

    @TempDir
    private Path folder = Path.of("");

    private static Settings settings(int port) throws Exception {
        return ConfigReader.parse("pottery.yaml", PotteryLesson.patient())
                .withDesk(new DeskSettings(
                        new InetSocketAddress(InetAddress.getLoopbackAddress(), port), List.of(), null));
    }

    /** Right, held, and then left again and again. */
    private static Performance presses() throws Exception {
        StringBuilder edges = new StringBuilder("0.1 right close\n0.9 right open\n");
        for (int press = 0; press < PRESSES; press++) {
            String second = String.valueOf(2 + press / 5) + "." + press % 5 * 2;
            edges.append(second).append("1 left close\n").append(second).append("9 left open\n");
        }
        return Performance.parse("presses.performance", edges.toString());
    }

    private Daemon start(Settings settings, Stage stage) throws Exception {
        return Daemon.start(
                settings.withGear(stage.gear()), new Daemon.Options(folder, 1, Optional.of(presses()), false));
    }

    private static List<String> cuts(Stage stage) {
        return stage.standIns().get(MIXER).received().stream()
                .map(StandIn.Heard::text)
                .toList();
    }

    private static List<String> allCuts() {
        List<String> cuts = new ArrayList<>(List.of("CUT 1"));
        for (int press = 0; press < PRESSES; press++) {
            cuts.add("CUT 2");
            cuts.add("CUT 1");
        }
        return cuts;
    }

    private static void say(Socket socket, String text) {
        try {
            socket.getOutputStream().write(text.getBytes(StandardCharsets.US_ASCII));
        } catch (IOException e) {
            // It was let go.
            assertThat(socket.isConnected()).isTrue();
        }
    }

    /** A thousand connections at once, some silent, some with a head that grows byte by byte, some that look and do not read. */
    @Tag("lab")
    @Test
    void cutsAtEachPressWhileAThousandConnectionsAreOpenedToThePage() throws Exception {
        Settings settings = settings(0);
        List<Socket> sockets = new ArrayList<>();
        try (Stage stage = Stage.open(settings.gear());
                Daemon daemon = start(settings, stage)) {
            URI page = daemon.page().orElseThrow();
            for (int i = 0; i < 1_000; i++) {
                sockets.add(new Socket(InetAddress.getLoopbackAddress(), page.getPort()));
                say(
                        sockets.get(i),
                        i % 2 == 0 ? "GET / HTTP/1.1\r\n" : "GET /events HTTP/1.1\r\nHost: localhost\r\n\r\n");
            }
            await().atMost(60, TimeUnit.SECONDS).until(() -> {
                sockets.forEach(socket -> say(socket, "X"));
                return daemon.performed().isDone();
            });
            assertThat(cuts(stage)).isEqualTo(allCuts());
        } finally {
            for (Socket socket : sockets) {
                socket.close();
            }
        }
    }

    /** Each foot moves when the page has told of what came of the one before: however slow the machine, nothing is missed. */
    @Test
    void tellsThePageEachPressAndEachCut() throws Exception {
        Settings settings = settings(0);
        try (Stage stage = Stage.open(settings.gear());
                Daemon daemon = Daemon.start(
                        settings.withGear(stage.gear()), new Daemon.Options(folder, 1, Optional.empty(), false));
                KeyPipe keys = KeyPipe.open()) {
            daemon.attach(0, keys.readEnd());
            URI page = daemon.page().orElseThrow();
            HttpClient client = HttpClient.newHttpClient();
            HttpResponse<InputStream> events = client.send(
                    HttpRequest.newBuilder(page.resolve("/events")).build(), HttpResponse.BodyHandlers.ofInputStream());
            try (BufferedReader in = new BufferedReader(new InputStreamReader(events.body(), StandardCharsets.UTF_8))) {
                keys.key(DeskRig.RIGHT, true, System.nanoTime());
                tells(in, "\"name\":\"right\",\"closed\":true");
                tells(in, "\"angle\":\"wide\",\"words\":\"says mixer\"", "\"name\":\"recorder\",\"words\":\"rolls\"");
                keys.key(DeskRig.LEFT, true, System.nanoTime());
                tells(in, "\"angle\":\"wheel\",\"words\":\"says mixer\"");
            }
            String metrics = client.send(
                            HttpRequest.newBuilder(page.resolve("/metrics")).build(),
                            HttpResponse.BodyHandlers.ofString())
                    .body();
            assertThat(metrics).contains("instep_takes_total 1\n", "instep_link_up{gear=\"mixer\"} 1\n");
        }
    }

    /** Reads on until one line has all of it. */
    private static void tells(BufferedReader in, String... all) throws IOException {
        String line = in.readLine();
        while (line != null && !Stream.of(all).allMatch(line::contains)) {
            line = in.readLine();
        }
        assertThat(line).contains(all);
    }

    @Test
    void runsWithoutItsPageWhenThePortIsTaken() throws Exception {
        try (ServerSocket other = new ServerSocket(0, 1, InetAddress.getLoopbackAddress())) {
            Settings settings = settings(other.getLocalPort());
            try (Stage stage = Stage.open(settings.gear());
                    Daemon daemon = start(settings, stage)) {
                assertThat(daemon.page()).isEmpty();
                daemon.performed().join();
                await().atMost(60, TimeUnit.SECONDS).until(() -> cuts(stage).equals(allCuts()));
            }
        }
        assertThat(Files.readString(folder.resolve("events.log")))
                .contains("!! FAULT   the desk page is not shown: 127.0.0.1:")
                .contains("another program listens there");
    }
}
