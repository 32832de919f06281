package instep.journal;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardOpenOption;
import java.util.Arrays;
import java.util.List;
import java.util.Optional;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** What a journal is after a crash, a power cut, or a bad disk. */
class RecoveryTest {
    @TempDir
    private Path folder;

    private Path file = Path.of("unset");
    private byte[] good = {};

    @BeforeEach
    void writeThreeLines() throws IOException {
        file = TestJournal.file(folder);
        try (Journal journal = TestJournal.open(folder)) {
            journal.append(0, 0, Happening.takeOpen(1));
            journal.append(1, 1, Happening.mark("retake", "with a line\nfeed and {braces}", -1));
            journal.append(2, 2, Happening.takeClose(1));
        }
        good = Files.readAllBytes(file);
    }

    @Test
    void losesNoWholeLineWhereverTheFileIsCut() throws IOException {
        for (int length = 0; length <= good.length; length++) {
            byte[] cut = Arrays.copyOf(good, length);
            Files.write(file, cut);
            Files.deleteIfExists(torn());
            int whole = lines(cut);
            int tail = length - endOfLine(whole);

            Optional<TornTail> found;
            try (Journal journal = TestJournal.open(folder)) {
                found = journal.tornTail();
                journal.append(3, 3, Happening.stop("asked to"));
            }

            List<Entry> entries = TestJournal.read(file);
            assertThat(entries).as("cut at byte " + length).hasSize(whole + 1);
            assertThat(entries.get(whole).kind()).isEqualTo(Kind.STOP);
            assertThat(found.map(TornTail::bytes).orElse(0L)).isEqualTo(tail);
            if (tail > 0) {
                assertThat(Files.readAllBytes(torn())).isEqualTo(Arrays.copyOfRange(cut, length - tail, length));
            }
        }
    }

    @Test
    void namesTheLineInWhichAnyBitWasFlipped() throws IOException {
        for (int at = 0; at < good.length; at++) {
            for (int bit = 0; bit < 8; bit++) {
                byte[] flipped = good.clone();
                flipped[at] ^= (byte) (1 << bit);
                Files.write(file, flipped);
                int line = lines(Arrays.copyOf(good, at)) + 1;
                if (at == good.length - 1) {
                    assertThat(TestJournal.read(file)).hasSize(2);
                } else {
                    assertThatThrownBy(() -> TestJournal.read(file))
                            .isInstanceOf(DamagedLineException.class)
                            .hasMessage(file + ":" + line + ": damaged line, its checksum does not hold");
                }
            }
        }
    }

    @Test
    void goesOnBelowADamagedLine() throws IOException {
        good[endOfLine(1) + 30] ^= 1;
        Files.write(file, good);
        try (JournalReader reader = JournalReader.open(file)) {
            assertThat(reader.next()).map(Entry::kind).hasValue(Kind.TAKE_OPEN);
            assertThatThrownBy(reader::next)
                    .isInstanceOfSatisfying(
                            DamagedLineException.class,
                            e -> assertThat(e.line()).isEqualTo(2));
            assertThat(reader.next()).map(Entry::kind).hasValue(Kind.TAKE_CLOSE);
            assertThat(reader.next()).isEmpty();
            assertThat(reader.tornBytes()).isZero();
        }
    }

    /** File systems may leave a block of zeros where data was not yet on the disk. */
    @Test
    void cutsZerosOffTheEndEvenWithLineFeedsAmongThem() throws IOException {
        byte[] zeros = new byte[200_000];
        zeros[70_000] = '\n';
        zeros[150_000] = '\n';
        Files.write(file, zeros, StandardOpenOption.APPEND);
        try (Journal journal = TestJournal.open(folder)) {
            assertThat(journal.tornTail()).map(TornTail::bytes).hasValue(200_000L);
            assertThat(journal.tornTail().orElseThrow().sentence())
                    .isEqualTo("journal-2026-03-02.jsonl ended in 200000 bytes that are no whole line, as after a power"
                            + " cut; they were moved to journal-2026-03-02.jsonl.torn, all lines before them are good");
        }
        assertThat(Files.readAllBytes(file)).isEqualTo(good);
    }

    @Test
    void leavesADamagedLineInTheMiddleForThePersonToSee() throws IOException {
        good[10] ^= 1;
        Files.write(file, good);
        try (Journal journal = TestJournal.open(folder)) {
            assertThat(journal.tornTail()).isEmpty();
        }
        assertThat(Files.readAllBytes(file)).isEqualTo(good);
    }

    @Test
    void findsTheEndOfAFileWithOneVeryLongLine() throws IOException {
        String config = "# clay\n".repeat(40_000);
        try (Journal journal = TestJournal.open(folder)) {
            journal.append(3, 3, Happening.config("pottery.yaml", "ab", config));
        }
        try (Journal journal = TestJournal.open(folder)) {
            assertThat(journal.tornTail()).isEmpty();
        }
        assertThat(TestJournal.read(file).get(3).text(Key.TEXT)).hasValue(config);
    }

    @Test
    void saysWhichJournalItCannotRead() {
        assertThatThrownBy(() -> JournalReader.open(folder.resolve("none.jsonl")))
                .isInstanceOf(JournalException.class)
                .hasMessage("cannot read the journal " + folder.resolve("none.jsonl") + ": no such file or folder");
        assertThatThrownBy(() -> JournalFolder.journals(folder.resolve("none")))
                .isInstanceOf(JournalException.class)
                .hasMessageContaining("cannot read the folder " + folder.resolve("none"));
    }

    private Path torn() {
        return folder.resolve("journal-2026-03-02.jsonl.torn");
    }

    private static int lines(byte[] bytes) {
        int lines = 0;
        for (byte b : bytes) {
            lines += b == '\n' ? 1 : 0;
        }
        return lines;
    }

    private int endOfLine(int line) {
        int at = 0;
        for (int seen = 0; seen < line; at++) {
            seen += good[at] == '\n' ? 1 : 0;
        }
        return at;
    }
}
