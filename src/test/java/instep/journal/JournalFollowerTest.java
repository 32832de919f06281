package instep.journal;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.io.IOException;
import java.nio.channels.FileChannel;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardCopyOption;
import java.nio.file.StandardOpenOption;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

class JournalFollowerTest {
    @TempDir
    private Path folder;

    private final List<String> seen = new ArrayList<>();
    private final JournalScan.Visitor visitor = new JournalScan.Visitor() {
        @Override
        public void entry(Path file, long line, Entry entry) {
            seen.add(file.getFileName() + ":" + line + " " + entry.kind().word());
        }

        @Override
        public void damaged(DamagedLineException what) {
            seen.add(String.valueOf(what.getMessage()));
        }
    };

    @Test
    void goesOnWithWhatIsWrittenLaterAndOverANewDay() throws IOException {
        try (Journal journal = TestJournal.open(folder)) {
            journal.append(0, 0, RunStart.of("v", "f", 1, "25"));
            journal.append(0, 0, Happening.takeOpen(1));
        }
        Path today = TestJournal.file(folder);
        Path tomorrow = folder.resolve("journal-2026-03-03.jsonl");
        byte[] lines = Files.readAllBytes(today);
        Files.write(today, new byte[0]);
        try (JournalFollower follower = JournalFollower.open(folder)) {
            follower.look(visitor);
            assertThat(seen).isEmpty();
            Files.write(today, lines, StandardOpenOption.APPEND);
            follower.look(visitor);
            assertThat(seen).hasSize(2);
            Files.write(today, lines, StandardOpenOption.APPEND);
            Files.write(tomorrow, lines);
            follower.look(visitor);
        }
        assertThat(seen)
                .containsExactly(
                        "journal-2026-03-02.jsonl:1 start",
                        "journal-2026-03-02.jsonl:2 take-open",
                        "journal-2026-03-02.jsonl:3 start",
                        "journal-2026-03-02.jsonl:4 take-open",
                        "journal-2026-03-03.jsonl:1 start",
                        "journal-2026-03-03.jsonl:2 take-open");
    }

    /** A daemon that was killed while it wrote leaves half a line, which the next one cuts off. */
    @Test
    void takesNoHalfLineForTheBeginningOfTheLineThatIsWrittenInItsPlace() throws IOException {
        try (Journal journal = TestJournal.open(folder)) {
            journal.append(0, 0, RunStart.of("v", "f", 1, "25"));
            journal.append(0, 0, Happening.takeOpen(1));
        }
        Path today = TestJournal.file(folder);
        byte[] whole = Files.readAllBytes(today);
        byte[] other = secondDay(folder.resolve("other"));
        Files.write(today, Arrays.copyOfRange(whole, whole.length - 100, whole.length - 1), StandardOpenOption.APPEND);
        try (JournalFollower follower = JournalFollower.open(folder)) {
            follower.look(visitor);
            try (FileChannel cut = FileChannel.open(today, StandardOpenOption.WRITE)) {
                cut.truncate(whole.length);
            }
            Files.write(today, other, StandardOpenOption.APPEND);
            follower.look(visitor);
        }
        assertThat(seen)
                .containsExactly(
                        "journal-2026-03-02.jsonl:1 start",
                        "journal-2026-03-02.jsonl:2 take-open",
                        "journal-2026-03-02.jsonl:3 start",
                        "journal-2026-03-02.jsonl:4 stop");
    }

    private static byte[] secondDay(Path folder) throws IOException {
        try (Journal journal = TestJournal.open(folder)) {
            journal.append(0, 0, RunStart.of("v", "g", 2, "25"));
            journal.append(0, 0, Happening.stop("asked to"));
        }
        return Files.readAllBytes(TestJournal.file(folder));
    }

    /** To keep the budget, before it was looked at again: another file has its name then. */
    @Test
    void showsWhatWasWrittenToAFileThatWasTrimmedSince() throws IOException {
        try (Journal journal = TestJournal.open(folder)) {
            journal.append(0, 0, RunStart.of("v", "f", 1, "25"));
        }
        Path today = TestJournal.file(folder);
        byte[] other = secondDay(folder.resolve("other"));
        try (JournalFollower follower = JournalFollower.open(folder)) {
            follower.look(visitor);
            Files.write(today, other, StandardOpenOption.APPEND);
            Path part = Files.write(folder.resolve("part"), new byte[0]);
            Files.move(part, today, StandardCopyOption.REPLACE_EXISTING);
            Files.write(folder.resolve("journal-2026-03-02.2.jsonl"), other);
            follower.look(visitor);
        }
        assertThat(seen)
                .containsExactly(
                        "journal-2026-03-02.jsonl:1 start",
                        "journal-2026-03-02.jsonl:2 start",
                        "journal-2026-03-02.jsonl:3 stop",
                        "journal-2026-03-02.2.jsonl:1 start",
                        "journal-2026-03-02.2.jsonl:2 stop");
    }

    @Test
    void saysWhereThereIsNoJournal() {
        assertThatThrownBy(() -> JournalFollower.open(folder))
                .isInstanceOf(JournalException.class)
                .hasMessageContaining("there is no journal in " + folder);
    }
}
