package instep.daemon;

import static org.assertj.core.api.Assertions.assertThat;
import static org.awaitility.Awaitility.await;

import instep.config.ConfigReader;
import instep.demo.Stage;
import java.io.BufferedReader;
import java.io.IOException;
import java.net.InetAddress;
import java.net.ServerSocket;
import java.net.Socket;
import java.net.URI;
import java.net.http.HttpClient;
import java.net.http.HttpRequest;
import java.net.http.HttpResponse.BodyHandlers;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.EnumSource;

/** The program in a process of its own with as little memory as the service gives it, while its page is asked for more than that can hold. */
@Tag("lab")
class FloodedPageTest {
    private static final Duration PATIENCE = Duration.ofSeconds(Integer.getInteger("patience", 60));
    private static final int PRESSES = 6;
    private static final int PUSHES = 20;
    /** Half of what the service has, of which the page is to need but a small part. */
    private static final long MOST_DIRECT_BYTES = 2 * 1_024 * 1_024;

    private static final Pattern DIRECT = Pattern.compile("jvm_buffer_pool_used_bytes.* ([0-9]+)");

    private static final String CONFIGURATION = """
            instep: 1
            timecode: { rate: 25 }
            desk: { port: %d }
            gear:
              mixer: { tcp: "127.0.0.1:%d", line-end: crlf, stale-after: 60s }
            angles:
              wide:  { reel: WIDE,  cut: { mixer: "CUT 1" } }
              wheel: { reel: WHEEL, cut: { mixer: "CUT 2" } }
            pedals:
              floor: { listen: { tcp: %d }, contacts: { left: , right: } }
            machine:
              initial: standby
              states:
                standby: { on: { right.press: rolling } }
                rolling:
                  rolling: true
                  angle: wide
                  on: { left.press: { angle: wheel, until: left.release } }
            """;

    @TempDir
    Path folder = Path.of("");

    private static int freePort() throws IOException {
        try (ServerSocket free = new ServerSocket(0, 1, InetAddress.getLoopbackAddress())) {
            return free.getLocalPort();
        }
    }

    /** As src/deb/instep starts it. */
    private Process start(String configuration) throws IOException {
        Path file = Files.writeString(folder.resolve("lesson.yaml"), configuration);
        Process flags = new ProcessBuilder("sh", "src/test/rig/flags.sh").start();
        List<String> command = new ArrayList<>();
        command.add(Path.of(System.getProperty("java.home"), "bin", "java").toString());
        try (BufferedReader out = flags.inputReader()) {
            command.addAll(List.of(out.readLine().split(" ")));
        }
        assertThat(command).contains("-Xmx32m", "-XX:MaxDirectMemorySize=4m", "-XX:+ExitOnOutOfMemoryError");
        command.addAll(List.of("-cp", System.getProperty("java.class.path"), "instep.Main", "run", file.toString()));
        command.addAll(List.of("--journal", folder.resolve("journal").toString()));
        ProcessBuilder process = new ProcessBuilder(command).redirectErrorStream(true);
        process.environment().put("MALLOC_ARENA_MAX", "1");
        return process.redirectOutput(folder.resolve("said").toFile()).start();
    }

    private String said() throws IOException {
        return Files.readString(folder.resolve("said"));
    }

    /** The end of what it said. */
    private String last() throws IOException {
        String all = said();
        return all.substring(Math.max(0, all.length() - 1_000));
    }

    private static void contact(Socket pedal, String words) throws IOException {
        pedal.getOutputStream().write((words + "\n").getBytes(StandardCharsets.US_ASCII));
    }

    private static long heard(Stage stage, String text) {
        return stage.standIns().get(0).received().stream()
                .filter(heard -> heard.text().equals(text))
                .count();
    }

    @ParameterizedTest
    @EnumSource(Crowd.Asks.class)
    void cutsAtEachPressWithTheMemoryOfTheService(Crowd.Asks asks) throws Exception {
        int page = freePort();
        int door = freePort();
        String original = CONFIGURATION.formatted(page, 9701, door);
        try (Stage stage =
                Stage.open(ConfigReader.parse("lesson.yaml", original).gear())) {
            int mixer = stage.standIns().get(0).port();
            Process daemon = start(CONFIGURATION.formatted(page, mixer, door));
            try {
                await().atMost(PATIENCE).until(() -> !daemon.isAlive() || said().contains("the desk page is at"));
                try (Socket pedal = new Socket(InetAddress.getLoopbackAddress(), door);
                        Crowd crowd = new Crowd(page, asks)) {
                    contact(pedal, "right down");
                    for (int press = 1; press <= PRESSES; press++) {
                        contact(pedal, "left down");
                        reaches(daemon, crowd, stage, "CUT 2", press);
                        contact(pedal, "left up");
                        reaches(daemon, crowd, stage, "CUT 1", press + 1);
                        assertThat(direct(page)).as("press " + press).isLessThan(MOST_DIRECT_BYTES);
                    }
                }
                assertThat(daemon.isAlive()).as(last()).isTrue();
                assertThat(said().lines().filter(line -> line.contains("OutOfMemory") || line.contains("a visit to")))
                        .isEmpty();
            } finally {
                daemon.destroyForcibly().waitFor();
            }
        }
    }

    /** What the page, which is still there for others, says of the memory of the process. */
    private static long direct(int page) throws Exception {
        HttpRequest metrics = HttpRequest.newBuilder(URI.create("http://127.0.0.1:" + page + "/metrics"))
                .build();
        HttpClient client = HttpClient.newHttpClient();
        String text = await().atMost(PATIENCE)
                .ignoreException(IOException.class)
                .until(() -> client.send(metrics, BodyHandlers.ofString()).body(), body -> body.contains("direct"));
        Matcher used = DIRECT.matcher(text);
        assertThat(used.find()).isTrue();
        return Long.parseLong(used.group(1));
    }

    private void reaches(Process daemon, Crowd crowd, Stage stage, String cut, int times) {
        await().atMost(PATIENCE).pollInterval(Duration.ofMillis(5)).until(() -> {
            for (int i = 0; i < PUSHES; i++) {
                crowd.push();
            }
            assertThat(daemon.isAlive()).as(last()).isTrue();
            return heard(stage, cut) >= times;
        });
    }
}
