package instep.rehearsal;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import instep.journal.Entry;
import instep.journal.Happening;
import instep.journal.Journal;
import instep.journal.JournalFolder;
import instep.journal.Key;
import instep.journal.Kind;
import instep.journal.RunStart;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardOpenOption;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.function.LongUnaryOperator;
import java.util.stream.IntStream;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** Three runs, of which the second goes on over midnight. */
class RecordedRunTest {
    @TempDir
    private static Path lessons = Path.of("");

    @TempDir
    private Path folder = Path.of("");

    @BeforeAll
    static void recordThreeRuns() throws Exception {
        LongRun.write(lessons, Instant.parse("2026-03-02T09:00:00Z"), 5);
        LongRun.write(lessons, Instant.parse("2026-03-02T22:58:30Z"), 100); // 23:58:30 in Vienna
        LongRun.write(lessons, Instant.parse("2026-03-03T09:00:00Z"), 7);
    }

    private static RecordedRun run(Path place, int number) throws IOException {
        return RecordedRun.read(place, number).orElseThrow();
    }

    private static long edges(RecordedRun run) throws IOException {
        return Collected.entries(run).stream()
                .filter(entry -> entry.kind() == Kind.EDGE)
                .count();
    }

    private static List<String> lines(int file) throws IOException {
        return Files.readAllLines(JournalFolder.journals(lessons).get(file));
    }

    /** The journal as far as the daemon has written it. */
    private Path written(List<String> lines) throws IOException {
        return Files.write(folder.resolve("journal-2026-03-02.jsonl"), lines);
    }

    @Test
    void readsEachRunFromItsFilesAndNoMore() throws Exception {
        assertThat(JournalFolder.journals(lessons)).hasSize(2);
        assertThat(edges(run(lessons, 1))).isEqualTo(10);
        assertThat(edges(run(lessons, 2))).isEqualTo(200);
        assertThat(edges(run(lessons, 3))).isEqualTo(14);
        RecordedRun last = run(lessons, 0);
        assertThat(last.number()).isEqualTo(3);
        assertThat(last.runs()).isEqualTo(3);
        List<Entry> second = Collected.entries(run(lessons, 2));
        assertThat(second.stream().map(Entry::seq))
                .containsExactlyElementsOf(IntStream.rangeClosed(1, second.size())
                        .mapToObj(Long::valueOf)
                        .toList());
        assertThat(second.get(second.size() - 1).kind()).isEqualTo(Kind.STOP);
    }

    @Test
    void knowsWhatAllPassesNeed() throws Exception {
        RecordedRun run = run(lessons, 2);
        assertThat(run.config()).contains(LongRun.CONFIG);
        assertThat(run.configs()).isEqualTo(1);
        assertThat(run.wasStopped()).isTrue();
        assertThat(run.lastTake()).isZero();
        assertThat(run.resumed()).isEmpty();
        assertThat(run.damage()).isEmpty();
        for (Entry entry : Collected.entries(run)) {
            Instant at = entry.time().toInstant();
            assertThat(run.clock().at(entry.mono())).isEqualTo(at.getEpochSecond() * LongRun.SECOND + at.getNano());
        }
    }

    /** Which is when the daemon looks at its clock. */
    @Test
    void hasTheTimeOfTheWallAsItStoodWhenEachTakeBegan() throws Exception {
        long set = 100 * LongRun.SECOND;
        LongUnaryOperator wall = nanos -> nanos + (nanos < set ? 0 : 3_600 * LongRun.SECOND);
        try (Journal journal = LongRun.journal(folder, 0, wall)) {
            journal.append(0, 0, RunStart.of("test", "a.yaml", 1, "25"));
            journal.append(set - LongRun.SECOND, 0, Happening.takeOpen(1));
            journal.append(set, 0, Happening.takeClose(1));
            journal.append(set + LongRun.SECOND, 0, Happening.takeOpen(2));
        }
        RecordedClock clock = run(folder, 1).clock();
        assertThat(clock.setSince(set - LongRun.SECOND)).isZero();
        assertThat(clock.at(set + LongRun.SECOND))
                .as("of what is told before the take begins")
                .isEqualTo(101 * LongRun.SECOND);
        assertThat(clock.setSince(set + LongRun.SECOND)).isEqualTo(3_600 * LongRun.SECOND);
        assertThat(clock.at(set + LongRun.SECOND)).isEqualTo(3_701 * LongRun.SECOND);
        assertThat(clock.at(2 * set)).isEqualTo(3_800 * LongRun.SECOND);
        assertThat(clock.at(set))
                .as("of what was earlier, though it is told later")
                .isEqualTo(set);
    }

    @Test
    void endsWhereItEndedWhenItWasLookedForThoughItsDaemonGoesOn() throws Exception {
        List<String> lines = lines(0);
        Path file = written(lines.subList(0, lines.size() - 40));
        RecordedRun run = run(folder, 0);
        List<Entry> before = Collected.entries(run);
        Files.write(file, lines.subList(lines.size() - 40, lines.size()), StandardOpenOption.APPEND);
        Files.write(folder.resolve("journal-2026-03-03.jsonl"), lines(1));
        assertThat(Collected.entries(run)).isEqualTo(before);
        assertThat(Collected.entries(run(folder, 2))).hasSizeGreaterThan(before.size() + 40);
    }

    @Test
    void saysThatRecordsWereRemovedMeanwhile() throws Exception {
        List<String> lines = lines(0);
        Path file = written(lines);
        RecordedRun run = run(folder, 2);
        String said = "records of the run of " + run.start().at() + " were removed from the journal";

        written(lines.subList(0, lines.size() - 1));
        assertThatThrownBy(() -> Collected.entries(run)).hasMessageStartingWith(said);
        List<String> trimmed = new ArrayList<>(lines);
        trimmed.remove(lines.size() - 9);
        trimmed.add(lines(1).get(0));
        written(trimmed);
        assertThatThrownBy(() -> Collected.entries(run)).hasMessageStartingWith(said);
        written(lines.subList(1, lines.size()));
        try (RunReader atOnce = run.open()) {
            assertThatThrownBy(atOnce::next).hasMessageStartingWith(said);
        }
        Files.delete(file);
        assertThatThrownBy(() -> Collected.entries(run)).hasMessageStartingWith(said);
    }

    @Test
    void tellsOfAHundredDamagedLinesAndHowManyMoreThereWere() throws Exception {
        List<String> lines = new ArrayList<>(lines(0));
        for (int line = lines.size() - 120; line < lines.size() - 1; line++) {
            lines.set(line, lines.get(line).replace("\"at\":\"2026", "\"at\":\"2036"));
        }
        written(lines);
        RecordedRun run = run(folder, 0);
        assertThat(run.damage()).hasSize(101).last().isEqualTo("19 more damaged lines");
        assertThat(run.damage().get(0)).contains("damaged line, its checksum does not hold");
        assertThat(Collected.entries(run).size())
                .isEqualTo(Collected.entries(run(lessons, 2)).size()
                        - 119
                        - lines(1).stream()
                                .takeWhile(line -> !line.contains("\"kind\":\"start\""))
                                .count());
    }

    @Test
    void knowsTheTakeThatARunGoesOnWith() throws Exception {
        List<String> lines = lines(0);
        String standing = lines.stream()
                .filter(line -> line.contains("\"kind\":\"standing\""))
                .reduce((older, newer) -> newer)
                .orElseThrow();
        List<String> start = lines.subList(0, 2);
        written(List.of(start.get(0), start.get(1), standing));
        assertThat(run(folder, 0).resumed().orElseThrow().active()).contains("rolling");
        String open = lines.stream()
                .filter(line -> line.contains("\"kind\":\"take-open\""))
                .findFirst()
                .orElseThrow();
        written(List.of(start.get(0), start.get(1), open, standing));
        assertThat(run(folder, 0).resumed()).isEmpty();
        assertThat(Collected.entries(folder).get(2).number(Key.TAKE)).hasValue(1);
    }
}
