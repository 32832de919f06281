package instep.rehearsal;

import static org.assertj.core.api.Assertions.assertThat;

import instep.config.ConfigReader;
import instep.config.Settings;
import instep.daemon.Daemon;
import instep.demo.PotteryLesson;
import instep.demo.Stage;
import instep.input.Performance;
import instep.journal.Entry;
import instep.journal.Key;
import instep.journal.Kind;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** The example lesson through the whole daemon, and its journal again. */
class ReplayTest {
    private static final double SPEED = 40;

    @TempDir
    private static Path lesson = Path.of("");

    @TempDir
    private Path folder = Path.of("");

    @BeforeAll
    static void playTheLesson() throws Exception {
        Settings settings = ConfigReader.parse("pottery.yaml", PotteryLesson.patient());
        try (Stage stage = Stage.open(settings.gear())) {
            Performance edges = Performance.read(Path.of("config-examples/pottery.performance"));
            Daemon.Options options = new Daemon.Options(lesson, SPEED, Optional.of(edges), false);
            Daemon daemon = Daemon.start(settings.withGear(stage.gear()), options);
            daemon.performed().join();
            daemon.close("the lesson is over");
        }
    }

    private static RecordedRun run(Path place) throws IOException {
        return RecordedRun.read(place, 0).orElseThrow();
    }

    private List<Entry> replay(RecordedRun run, String config) throws Exception {
        Set<String> unknown = Replay.write(run, ConfigReader.parse("pottery.yaml", config), folder, "the lesson");
        assertThat(unknown).isEmpty();
        return run(folder).entries();
    }

    private static List<String> cuts(List<Entry> entries) {
        return entries.stream()
                .filter(entry -> entry.kind() == Kind.CUT)
                .map(entry -> entry.text(Key.ANGLE).orElseThrow())
                .toList();
    }

    @Test
    void decidesTheSameRecordForRecord() throws Exception {
        RecordedRun run = run(lesson);
        List<Decisions.Decision> recorded = Decisions.of(run.entries());
        List<Decisions.Decision> replayed =
                Decisions.of(replay(run, run.config().orElseThrow()));
        // 16 cuts, one take, one mark, and the gestures and transitions that led to them.
        assertThat(recorded).hasSizeGreaterThan(50);
        assertThat(replayed).isEqualTo(recorded);
    }

    @Test
    void cutsToTheAngleOfAChangedMapping() throws Exception {
        RecordedRun run = run(lesson);
        String changed =
                run.config().orElseThrow().replace("left.press:   { angle: wheel", "left.press:   { angle: glaze");
        List<Entry> replayed = replay(run, changed);
        List<String> before = cuts(run.entries());
        assertThat(before).contains("wheel").doesNotContain("glaze");
        assertThat(cuts(replayed))
                .isEqualTo(before.stream()
                        .map(angle -> angle.replace("wheel", "glaze"))
                        .toList());
        assertThat(Decisions.changes(Decisions.of(run.entries()), Decisions.of(replayed)))
                .anyMatch(line -> line.startsWith("  - ") && line.endsWith("cut wheel"))
                .anyMatch(line -> line.startsWith("  + ") && line.endsWith("cut glaze"))
                .noneMatch(line -> line.contains("mark"));
    }

    @Test
    void leavesOutContactsThatTheOtherMappingDoesNotHave() throws Exception {
        RecordedRun run = run(lesson);
        Settings onePedal = ConfigReader.read(Path.of("config-examples/one-pedal.yaml"));
        Set<String> unknown = Replay.write(run, onePedal, folder, "the lesson");
        assertThat(unknown).containsExactly("floor.left", "floor.middle", "floor.right", "lamp");
        assertThat(run(folder).entries()).noneMatch(entry -> entry.kind() == Kind.CUT);
    }

    @Test
    void findsTheDecisionsOfADaemonThatWasKilled() throws Exception {
        RecordedRun whole = run(lesson);
        List<Entry> entries = whole.entries();
        for (int length = 3; length < entries.size(); length += 7) {
            RecordedRun torn = new RecordedRun(1, 1, entries.subList(0, length), List.of());
            Path there = folder.resolve("torn-" + length);
            Replay.write(torn, ConfigReader.parse("pottery.yaml", whole.config().orElseThrow()), there, "a torn one");
            assertThat(Decisions.differences(
                            Decisions.of(torn.entries()),
                            Decisions.of(run(there).entries()),
                            true))
                    .isEmpty();
        }
    }

    @Test
    void saysInTheJournalThatNoDaemonRan() throws Exception {
        RecordedRun run = run(lesson);
        List<Entry> replayed = replay(run, run.config().orElseThrow());
        assertThat(replayed.get(0).text(Key.REPLAYS)).contains("the lesson");
        assertThat(replayed.get(0).at()).isEqualTo(run.start().at());
        assertThat(run.start().text(Key.REPLAYS)).isEmpty();
    }

    @Test
    void seesADecisionThatIsNotTheSame() throws Exception {
        List<Decisions.Decision> recorded = Decisions.of(run(lesson).entries());
        List<Decisions.Decision> other = new java.util.ArrayList<>(recorded);
        other.remove(10);
        assertThat(Decisions.differences(recorded, other, false))
                .first()
                .asString()
                .contains("first 10 are equal");
        assertThat(Decisions.differences(recorded, recorded.subList(0, 20), true))
                .isNotEmpty();
    }

    @Test
    void findsARunByItsNumberInTheFolderAndInAFile() throws Exception {
        Path file;
        try (var files = Files.list(lesson)) {
            file = files.filter(f -> f.toString().endsWith(".jsonl"))
                    .findFirst()
                    .orElseThrow();
        }
        assertThat(RecordedRun.read(file, 1)).isPresent();
        assertThat(RecordedRun.read(lesson, 2)).isEmpty();
        assertThat(run(lesson).number()).isEqualTo(1);
    }
}
