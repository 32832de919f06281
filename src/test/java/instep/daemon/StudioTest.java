package instep.daemon;

import static org.assertj.core.api.Assertions.assertThat;
import static org.awaitility.Awaitility.await;

import instep.config.ConfigReader;
import instep.config.Settings;
import instep.demo.PotteryLesson;
import instep.demo.Stage;
import instep.demo.StandIn;
import instep.demo.StandInRecorder;
import instep.input.Performance;
import instep.journal.Entry;
import instep.journal.Key;
import instep.journal.Kind;
import java.net.InetAddress;
import java.net.Socket;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.time.Duration;
import java.util.List;
import java.util.Optional;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** The example's mapping with stand-ins that do not only do as they are told. */
class StudioTest {
    private static final int MIXER = 0;
    private static final int RECORDER = 1;
    private static final int LAMP = 2;
    private static final String ROLL = "0.1 right close\n0.9 right open\n";

    @TempDir
    private Path folder = Path.of("");

    /** What happens between the roll and the end. */
    private interface Lesson {
        void with(Stage stage) throws Exception;
    }

    /** A busy machine may take its time, but for what the roll check is to find. */
    private static Settings settings(String rollWithin) throws Exception {
        String yaml = PotteryLesson.patient()
                .replace(":9702", ":9702\n    poll: { get: /transport, every: 100ms }")
                .replace("roll-within: 60s", "roll-within: " + rollWithin)
                .replace("cut: { mixer: \"CUT 4\" }", "cut: { mixer: \"CUT 4\", lamp: { osc: /lamp/glaze } }");
        return ConfigReader.parse("pottery.yaml", yaml);
    }

    private List<Entry> played(String rollWithin, Lesson lesson) throws Exception {
        Settings settings = settings(rollWithin);
        try (Stage stage = Stage.open(settings.gear())) {
            Performance edges = Performance.parse("roll.performance", ROLL);
            Daemon.Options options = new Daemon.Options(folder, 1, Optional.of(edges), false);
            Daemon daemon = Daemon.start(settings.withGear(stage.gear()), options);
            try {
                lesson.with(stage);
            } finally {
                daemon.close("over");
            }
        }
        return run().entries();
    }

    private RunFolder run() {
        return new RunFolder(folder);
    }

    private static void waitFor(Stage stage, int gear, String text) {
        await().atMost(Duration.ofSeconds(30))
                .until(() -> received(stage, gear).stream().anyMatch(line -> line.contains(text)));
    }

    private static List<String> received(Stage stage, int gear) {
        return stage.standIns().get(gear).received().stream()
                .map(StandIn.Heard::text)
                .toList();
    }

    private static List<Entry> of(List<Entry> entries, Kind kind) {
        return entries.stream().filter(entry -> entry.kind() == kind).toList();
    }

    /** What the roll check found; a busy machine may have trouble of its own. */
    private static List<Entry> rollFaults(List<Entry> entries) {
        return of(entries, Kind.FAULT).stream()
                .filter(fault -> fault.text(Key.ROLL).isPresent())
                .toList();
    }

    @Test
    void findsARecorderThatAnswersWellAndDoesNotRoll() throws Exception {
        List<Entry> entries = played("500ms", stage -> {
            ((StandInRecorder) stage.standIns().get(RECORDER)).jam();
            waitFor(stage, LAMP, "/lamp/alarm");
            waitFor(stage, RECORDER, "\"mode\":\"record\"");
        });
        Entry take = of(entries, Kind.TAKE_OPEN).get(0);
        assertThat(rollFaults(entries)).singleElement().satisfies(fault -> {
            assertThat(fault.text(Key.GEAR)).contains("recorder");
            assertThat(fault.text(Key.ROLL)).contains("silent");
            assertThat(fault.mono() - take.mono()).isEqualTo(500_000_000L);
        });
        assertThat(run().log()).contains("!! FAULT   recorder  it has not said within 500 ms that it rolls");
        run().holdsInAReplay();
    }

    @Test
    void noticesARecorderThatStopsByItself() throws Exception {
        List<Entry> entries = played("60s", stage -> {
            waitFor(stage, RECORDER, "\"mode\":\"record\"");
            waitFor(stage, MIXER, "CUT 1");
            int polls = received(stage, RECORDER).size();
            await().atMost(Duration.ofSeconds(30))
                    .until(() -> received(stage, RECORDER).size() > polls + 2);
            ((StandInRecorder) stage.standIns().get(RECORDER)).jam();
            waitFor(stage, LAMP, "/lamp/alarm");
        });
        assertThat(rollFaults(entries))
                .singleElement()
                .satisfies(fault -> assertThat(fault.text(Key.ROLL)).contains("stopped"));
        run().holdsInAReplay();
    }

    @Test
    void followsSomebodyElseAtTheMixer() throws Exception {
        List<Entry> entries = played("60s", stage -> {
            waitFor(stage, MIXER, "CUT 1");
            int port = stage.standIns().get(MIXER).port();
            try (Socket panel = new Socket(InetAddress.getLoopbackAddress(), port)) {
                panel.getOutputStream().write("CUT 4\r\n".getBytes(StandardCharsets.US_ASCII));
                waitFor(stage, LAMP, "/lamp/glaze");
            }
            assertThat(received(stage, MIXER)).containsExactly("CUT 1", "CUT 4");
        });
        assertThat(of(entries, Kind.CUT))
                .extracting(cut -> cut.text(Key.ANGLE).orElse(""))
                .containsExactly("wide", "glaze");
        assertThat(of(entries, Kind.CUT).get(1).text(Key.BY)).contains("mixer");
        assertThat(of(entries, Kind.CUT).get(1).text(Key.FROM)).contains("wide");
        assertThat(of(entries, Kind.CONFIRMED))
                .singleElement()
                .satisfies(confirmed -> assertThat(confirmed.text(Key.ANGLE)).contains("wide"));
        assertThat(run().log()).contains("by somebody at mixer");
        run().holdsInAReplay();
    }
}
