package instep.journal;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Random;
import java.util.stream.Stream;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

class RepairTest {
    private static final int LINES = 60;

    @TempDir
    private Path folder;

    private final List<String> said = new ArrayList<>();
    private int round;

    private byte[] journal() throws IOException {
        try (Journal journal = TestJournal.open(folder.resolve("whole"))) {
            journal.append(0, 900_000, RunStart.of("v", "pottery.yaml", 1, "25"));
            for (int i = 1; i < LINES; i++) {
                journal.append(i * 40_000_000L, 900_000 + i, Happening.edge("floor.left", i % 2 == 1, false));
            }
        }
        return Files.readAllBytes(TestJournal.file(folder.resolve("whole")));
    }

    private List<String> mended(byte[] damaged) throws IOException {
        Path from = Files.createDirectories(folder.resolve("damaged" + ++round));
        Path to = folder.resolve("mended" + round);
        Files.write(TestJournal.file(from), damaged);
        Repair.of(from, to, said::add);
        assertThat(Files.readAllBytes(TestJournal.file(from))).isEqualTo(damaged);
        List<String> faults = new ArrayList<>();
        JournalScan.of(to, new Audit(faults::add));
        assertThat(faults).isEmpty();
        return Files.readAllLines(TestJournal.file(to));
    }

    @Test
    void copiesASoundJournalAsItIs() throws IOException {
        byte[] journal = journal();
        assertThat(String.join("\n", mended(journal)) + "\n").isEqualTo(new String(journal, StandardCharsets.UTF_8));
        assertThat(said).isEmpty();
    }

    @Test
    void tellsInTheCopyHowManyRecordsAreMissing() throws IOException {
        List<String> lines =
                new String(journal(), StandardCharsets.UTF_8).lines().toList();
        List<String> damaged = new ArrayList<>(lines);
        damaged.set(9, "{}");
        damaged.set(10, "rubbish");
        List<String> mended = mended((String.join("\n", damaged) + "\n").getBytes(StandardCharsets.UTF_8));
        assertThat(mended).hasSize(LINES - 1);
        assertThat(mended.get(9))
                .contains("\"seq\":11,", "\"kind\":\"fault\"", "2 records are missing here", "\"gap\":1");
        assertThat(said).hasSize(2);
        assertThat(said.get(0)).contains(":10: damaged line", ": left");
    }

    /** What a power cut leaves where a block of the file was never written: zeros, and behind them the rest of a line or whole lines. */
    @Test
    void keepsARecordBehindZeros() throws IOException {
        byte[] journal = journal();
        int third = new String(journal, StandardCharsets.UTF_8).indexOf("{\"seq\":3,");
        int fifth = new String(journal, StandardCharsets.UTF_8).indexOf("{\"seq\":5,");
        Arrays.fill(journal, third, fifth, (byte) 0);
        List<String> mended = mended(journal);
        assertThat(mended.get(3)).contains("\"seq\":5,");
        assertThat(said).hasSize(1);
        assertThat(said.get(0)).contains(":3: left the first " + (fifth - third) + " bytes, kept the record behind");
    }

    /** Every line that the damage does not touch is in the copy, and the copy is sound; some hundred random damages. */
    @Test
    void losesNoLineThatIsWhole() throws IOException {
        byte[] journal = journal();
        Random random = new Random(20260302);
        for (int i = 0; i < 100; i++) {
            byte[] damaged = journal.clone();
            // The first line is spared: without it there is no run to check.
            int first = new String(journal, StandardCharsets.UTF_8).indexOf('\n') + 1;
            int from = first + random.nextInt(journal.length - first);
            int to = Math.min(journal.length, from + 1 + random.nextInt(600));
            for (int at = from; at < to; at++) {
                damaged[at] = (byte) (i % 2 == 0 ? 0 : random.nextInt(256));
            }
            List<String> mended = mended(damaged);
            wholeLines(journal, from, to).forEach(line -> assertThat(mended).contains(line));
        }
    }

    private static Stream<String> wholeLines(byte[] journal, int from, int to) {
        String before = new String(journal, 0, from, StandardCharsets.UTF_8);
        String after = new String(journal, to, journal.length - to, StandardCharsets.UTF_8);
        Stream<String> first = before.substring(0, before.lastIndexOf('\n') + 1).lines();
        return Stream.concat(first, after.substring(after.indexOf('\n') + 1).lines());
    }

    @Test
    void writesOverNothing() throws IOException {
        byte[] journal = journal();
        Path to = Files.createDirectories(folder.resolve("to"));
        Files.write(TestJournal.file(to), journal);
        assertThatThrownBy(() -> Repair.of(folder.resolve("whole"), to, said::add))
                .isInstanceOf(JournalException.class)
                .hasMessageContaining("is there already");
    }
}
