package instep.journal;

import static org.assertj.core.api.Assertions.assertThat;

import instep.time.FrameRate;
import instep.time.Timecode;
import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** Against docs/journal.md, which is the specification. */
class AuditTest {
    @TempDir
    private Path folder;

    private final List<String> faults = new ArrayList<>();

    private List<String> lesson() throws IOException {
        try (Journal journal = TestJournal.open(folder)) {
            journal.append(0, 900_000, RunStart.of("v", "pottery.yaml", 1, "25"));
            journal.append(0, 900_000, Happening.takeOpen(1));
            journal.append(0, 900_000, Happening.cut("wide", null, -1, -1));
            journal.append(40_000_000, 900_001, Happening.edge("floor.left", true, false));
            journal.append(40_000_000, 900_001, Happening.cut("wheel", "wide", 4, -1));
            journal.append(80_000_000, 900_002, Happening.takeClose(1));
        }
        return new ArrayList<>(Files.readAllLines(TestJournal.file(folder)));
    }

    private Audit audit(List<String> lines) throws IOException {
        Files.write(TestJournal.file(folder), lines);
        Audit audit = new Audit(faults::add);
        JournalScan.of(folder, audit);
        assertThat(audit.faults()).isEqualTo(faults.size());
        return audit;
    }

    private static String line(long seq, long frame, Happening what) {
        return line(seq, frame, frame, "2026-03-02T10:00:00.000000000+01:00", what);
    }

    private static String line(long seq, long frame, long label, String at, Happening what) {
        LineBuffer buffer = new LineBuffer();
        buffer.append(new Pending(seq, 0, frame, what), at, Timecode.wrapped(FrameRate.R25, label));
        return new String(buffer.asByteBuffer().array(), 0, buffer.length() - 1, StandardCharsets.UTF_8);
    }

    private String at(int line) {
        return TestJournal.file(folder) + ":" + line + ": ";
    }

    @Test
    void findsNothingInASoundJournal() throws IOException {
        Audit audit = audit(lesson());
        assertThat(faults).isEmpty();
        assertThat(audit.records()).isEqualTo(6);
        assertThat(audit.runs()).isEqualTo(1);
        assertThat(audit.takes()).isEqualTo(1);
    }

    @Test
    void namesADamagedLineAndDoesNotComplainOfItsNumberAgain() throws IOException {
        List<String> lines = lesson();
        lines.set(3, lines.get(3).replace("left", "lift"));
        audit(lines);
        assertThat(faults).containsExactly(at(4) + "damaged line, its checksum does not hold");
    }

    @Test
    void missesALineThatWasTakenOut() throws IOException {
        List<String> lines = lesson();
        lines.remove(3);
        audit(lines);
        assertThat(faults).containsExactly(at(4) + "record 5 after record 3, and no record says why");
    }

    @Test
    void takesAGapThatIsToldOf() throws IOException {
        List<String> lines = lesson().subList(0, 5);
        lines.add(line(9, 0, Gaps.lost(3)));
        audit(lines);
        assertThat(faults).isEmpty();
    }

    @Test
    void seesALineThatStandsTwice() throws IOException {
        List<String> lines = lesson();
        lines.add(4, lines.get(3));
        audit(lines);
        assertThat(faults).contains(at(5) + "record 4 after record 4");
    }

    @Test
    void holdsFieldsLabelsDaysCausesAndTakesAgainstTheSpecification() throws IOException {
        List<String> lines = new ArrayList<>(lesson().subList(0, 2));
        lines.add(line(3, 900_010, 900_011, "2026-03-02T10:00:00.000000000+01:00", Happening.takeOpen(2)));
        lines.add(line(4, 900_012, 900_012, "2026-03-03T10:00:00.000000000+01:00", Happening.takeClose(7)));
        lines.add(line(5, 900_012, Happening.cut("wide", null, 5, -1)));
        lines.add(line(6, 0, Happening.of(new Entry(6, "", 0, "", Kind.EDGE, java.util.Map.of("contact", 4L)))));
        audit(lines);
        assertThat(faults)
                .containsExactly(
                        at(3) + "the label 10:00:00:11 is not that of frame 900010",
                        at(3) + "take 2 is opened while take 1 is",
                        at(4) + "a record of 2026-03-03 in the file of an earlier day",
                        at(4) + "take 7 is closed, but was not opened",
                        at(5) + "its cause, record 5, does not stand before it",
                        at(6) + "contact is not a text",
                        at(6) + "a record of the kind edge without closed");
    }

    @Test
    void countsATakeOnceThatALaterRunHasGoneOnWith() throws IOException {
        List<String> lines = new ArrayList<>(lesson().subList(0, 5));
        for (int run = 1; run <= 2; run++) {
            lines.add(line(1, 900_100L * run, RunStart.of("v", "pottery.yaml", 1, "25")));
            lines.add(line(2, 900_100L * run, Happening.takeResumed(1, 100)));
        }
        lines.add(line(3, 2_000_000, Happening.takeClose(1)));
        lines.add(line(4, 2_000_100, Happening.takeOpen(2)));
        Audit audit = audit(lines);
        assertThat(faults).isEmpty();
        assertThat(audit.runs()).isEqualTo(3);
        assertThat(audit.takes()).isEqualTo(2);
    }

    /** The budget has taken the file in which it began, or it lies elsewhere. */
    @Test
    void countsATakeThatGoesOnWhereItsBeginningIsNotInTheJournal() throws IOException {
        List<String> lines = List.of(
                line(1, 900_100, RunStart.of("v", "pottery.yaml", 1, "25")),
                line(2, 900_100, Happening.takeResumed(1, 100)));
        assertThat(audit(lines).takes()).isEqualTo(1);
        assertThat(faults).isEmpty();
    }

    @Test
    void missesTheRecordsBeforeTheFirst() throws IOException {
        List<String> lines = lesson();
        audit(lines.subList(2, 6));
        assertThat(faults)
                .containsExactly(
                        at(1)
                                + "the journal begins with record 3 of a run: those before it are missing, and no record says why");
    }

    @Test
    void aSingleFileMayGoOnWithARun() throws IOException {
        List<String> lines = lesson();
        Files.write(TestJournal.file(folder), lines.subList(2, 6));
        Audit audit = new Audit(faults::add, true);
        JournalScan.of(TestJournal.file(folder), audit);
        assertThat(audit.end()).isEqualTo("it goes on with a run of an earlier file");
        assertThat(faults).isEmpty();
    }

    /** The second file of the day is the oldest: where the budget took the first, a record says so. */
    @Test
    void tellsAFileThatTheBudgetRemovedFromOneThatIsMissing() throws IOException {
        List<String> lines = lesson();
        Files.delete(TestJournal.file(folder));
        Path second = folder.resolve("journal-2026-03-02.2.jsonl");
        Files.write(second, lines);
        Audit missing = new Audit(faults::add);
        JournalScan.of(folder, missing);
        assertThat(missing.end()).isEmpty();
        assertThat(faults)
                .containsExactly(second
                        + ": journal-2026-03-02.jsonl is missing before it, and no record says that it was removed");
        faults.clear();
        lines.add(line(7, 0, Happening.removed("journal-2026-03-02.jsonl")));
        Files.write(second, lines);
        Audit removed = new Audit(faults::add);
        JournalScan.of(folder, removed);
        assertThat(removed.end()).isEqualTo("earlier takes were removed to keep within the budget");
        assertThat(faults).isEmpty();
    }

    @Test
    void tellsOfALineThatWasNeverFinished() throws IOException {
        lesson();
        Path file = TestJournal.file(folder);
        byte[] bytes = Files.readAllBytes(file);
        Files.write(file, Arrays.copyOf(bytes, bytes.length - 5));
        JournalScan.of(folder, new Audit(faults::add));
        assertThat(faults).hasSize(1);
        assertThat(faults.get(0)).contains("bytes after the last whole line");
    }
}
