package instep.command;

import static org.assertj.core.api.Assertions.assertThat;

import instep.config.ConfigReader;
import instep.config.Settings;
import instep.demo.Stage;
import instep.gear.GearSettings;
import instep.gear.Message;
import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.io.PrintStream;
import java.net.InetAddress;
import java.net.ServerSocket;
import java.nio.charset.StandardCharsets;
import java.util.List;
import java.util.concurrent.TimeUnit;
import org.junit.jupiter.api.Test;

class TrialTest {
    private static final long QUIET = TimeUnit.MILLISECONDS.toNanos(500);
    /** Long enough for a busy machine to connect. */
    private static final long LOOKING = TimeUnit.SECONDS.toNanos(3);

    private static final String MAPPING = """
            instep: 1
            timecode: { rate: 25 }
            gear:
              mixer: { tcp: "192.0.2.10:9701", stale-after: 20s }
              recorder: { http: "http://192.0.2.11:9702", within: 20s, stale-after: 20s }
            angles: { wheel: { reel: WHEEL, cut: { mixer: "CUT 2" } } }
            messages:
              roll: { recorder: { put: /transport, json: { mode: record, take: "{take}" } } }
              lost: { recorder: { get: /nowhere } }
            machine: { states: { standby: } }
            """;

    private final ByteArrayOutputStream written = new ByteArrayOutputStream();
    private final PrintStream out = new PrintStream(written, true, StandardCharsets.UTF_8);

    private String text() {
        return written.toString(StandardCharsets.UTF_8);
    }

    private boolean tried(int gear, String message) throws Exception {
        Settings settings = ConfigReader.parse("lesson.yaml", MAPPING);
        try (Stage stage = Stage.open(settings.gear())) {
            Settings onStage = settings.withGear(stage.gear());
            Message told = settings.messages().stream()
                    .filter(one -> one.name().equals(message))
                    .findFirst()
                    .orElse(settings.angles().get(0).cut());
            return Trial.message(onStage, gear, told, QUIET, out);
        }
    }

    /** ASCII (ISO/IEC 646): C is 43, carriage return 0d, line feed 0a. */
    @Test
    void showsTheBytesOfALineAndOfItsAnswers() throws Exception {
        assertThat(tried(0, "wheel")).isTrue();
        assertThat(text())
                .containsPattern("(?m)^> 43 55 54 20 32 0d 0a +CUT 2\\.\\.$")
                .containsPattern("(?m)^< 4f 4b 20 43 55 54 20 32 0d 0a")
                .containsPattern("(?m)^  mixer +[0-9.]+ ms  up: connected")
                .containsPattern("(?m)^  mixer +[0-9.]+ ms  sent: CUT 2$")
                .containsPattern("(?m)^  mixer +[0-9.]+ ms  reply: ONAIR 2$");
    }

    @Test
    void showsARequestWithValuesAndWhatCameBack() throws Exception {
        assertThat(tried(1, "roll")).isTrue();
        assertThat(text())
                .containsPattern("(?m)^> 50 55 54 20 2f 74 72 61 6e 73 70 6f 72 74 20 48  PUT /transport H$")
                .contains("sent: PUT /transport {\"mode\":\"record\",\"take\":\"1\"}", "reply: 200 OK");
    }

    @Test
    void hasFailedWhenTheGearSaysNo() throws Exception {
        assertThat(tried(1, "lost")).isFalse();
        assertThat(text()).contains("refused: 404 Not Found");
    }

    @Test
    void tellsWhichLinksAreUpAndWhyOthersAreNot() throws Exception {
        Settings settings = ConfigReader.parse("lesson.yaml", MAPPING);
        try (Stage stage = Stage.open(settings.gear())) {
            GearSettings gone = settings.gear().get(1).at("127.0.0.1", closedPort());
            assertThat(LinkCheck.of(settings.withGear(List.of(stage.gear().get(0), gone)), LOOKING, out))
                    .isFalse();
            assertThat(text())
                    .containsPattern("(?m)^  mixer     up    tcp 127\\.0\\.0\\.1:")
                    .containsPattern("(?m)^  recorder  lost  http 127.*connection refused by .*is the recorder on\\?$");
            assertThat(LinkCheck.of(settings.withGear(stage.gear()), LOOKING, out))
                    .isTrue();
        }
    }

    private static int closedPort() throws IOException {
        try (ServerSocket server = new ServerSocket(0, 1, InetAddress.getLoopbackAddress())) {
            return server.getLocalPort();
        }
    }
}
