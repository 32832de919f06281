package instep.rehearsal;

import static org.assertj.core.api.Assertions.assertThat;

import instep.config.ConfigReader;
import instep.config.Settings;
import instep.daemon.Daemon;
import instep.demo.PotteryLesson;
import instep.demo.Stage;
import instep.input.Performance;
import instep.journal.Entry;
import instep.journal.JournalFolder;
import instep.journal.Key;
import instep.journal.Kind;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import java.util.stream.IntStream;
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
        return Collected.entries(folder);
    }

    private static List<String> cuts(List<Entry> entries) {
        return entries.stream()
                .filter(entry -> entry.kind() == Kind.CUT)
                .map(entry -> entry.text(Key.ANGLE).orElseThrow())
                .toList();
    }

    private static Path journalOfTheLesson() throws IOException {
        return JournalFolder.journals(lesson).get(0);
    }

    private static List<String> lines() throws IOException {
        return Files.readAllLines(journalOfTheLesson());
    }

    /** On which line, from 0, a decision stands, counted from 0, too. */
    private static int lineOf(int decision) throws IOException {
        Decision that = Collected.decisions(lesson).get(decision);
        String head = "\"at\":\"" + that.at() + "\",\"mono\":" + that.mono();
        List<String> lines = lines();
        return IntStream.range(0, lines.size())
                .filter(line -> lines.get(line).contains(head)
                        && lines.get(line).contains("\"kind\":\"" + that.kind().word() + "\""))
                .findFirst()
                .orElseThrow();
    }

    /** A folder with a journal of these lines. */
    private Path journal(String name, List<String> lines) throws IOException {
        Path made = Files.createDirectory(folder.resolve(name));
        Files.write(made.resolve("journal-2026-03-02.jsonl"), lines);
        return made;
    }

    @Test
    void decidesTheSameRecordForRecord() throws Exception {
        RecordedRun run = run(lesson);
        List<Decision> recorded = Collected.decisions(run);
        replay(run, run.config().orElseThrow());
        // 16 cuts, one take, one mark, and the gestures and transitions that led to them.
        assertThat(recorded).hasSizeGreaterThan(50);
        assertThat(Collected.decisions(folder)).isEqualTo(recorded);
    }

    @Test
    void cutsToTheAngleOfAChangedMapping() throws Exception {
        RecordedRun run = run(lesson);
        String changed =
                run.config().orElseThrow().replace("left.press:   { angle: wheel", "left.press:   { angle: glaze");
        List<Entry> replayed = replay(run, changed);
        List<String> before = cuts(Collected.entries(run));
        assertThat(before).contains("wheel").doesNotContain("glaze");
        assertThat(cuts(replayed))
                .isEqualTo(before.stream()
                        .map(angle -> angle.replace("wheel", "glaze"))
                        .toList());
        assertThat(Changes.between(run, run(folder)).lines(Integer.MAX_VALUE))
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
        assertThat(Collected.entries(folder)).noneMatch(entry -> entry.kind() == Kind.CUT);
    }

    @Test
    void findsTheDecisionsOfADaemonThatWasKilled() throws Exception {
        String config = run(lesson).config().orElseThrow();
        List<String> lines = lines();
        for (int length = 3; length < lines.size(); length += 7) {
            RecordedRun torn = run(journal("torn-" + length, lines.subList(0, length)));
            Path there = folder.resolve("again-" + length);
            Replay.write(torn, ConfigReader.parse("pottery.yaml", config), there, "a torn one");
            assertThat(Comparison.of(torn, run(there)).differences()).isEmpty();
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
        List<String> lines = lines();
        List<String> other = new ArrayList<>(lines);
        other.remove(lineOf(10));
        assertThat(Comparison.of(run(lesson), run(journal("other", other))).differences())
                .first()
                .asString()
                .contains("first 10 are equal");
        RecordedRun killed = run(journal("killed", lines.subList(0, lineOf(30))));
        RecordedRun shorter = run(journal("shorter", lines.subList(0, lineOf(20))));
        assertThat(Comparison.of(killed, shorter).differences()).isNotEmpty();
        assertThat(Comparison.of(shorter, killed).differences()).isEmpty();
    }

    @Test
    void findsARunByItsNumberInTheFolderAndInAFile() throws Exception {
        assertThat(RecordedRun.read(journalOfTheLesson(), 1)).isPresent();
        assertThat(RecordedRun.read(lesson, 2)).isEmpty();
        assertThat(run(lesson).number()).isEqualTo(1);
    }
}
