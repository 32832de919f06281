package instep.rehearsal;

import static org.assertj.core.api.Assertions.assertThat;

import instep.Main;
import instep.journal.JournalFolder;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Instant;
import java.util.Locale;
import java.util.concurrent.TimeUnit;
import java.util.stream.Stream;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** A run whose journal is larger than the heap is played again, by the command in a process of its own. */
@Tag("lab")
class LongReplayTest {
    private static final long PRESSES = Long.getLong("instep.presses", 60_000);
    private static final int HEAP_MEGABYTES = Integer.getInteger("instep.heap", 32);

    @TempDir
    private Path folder = Path.of("");

    @Test
    void decidesTheSameInAHeapThatIsSmallerThanTheJournal() throws Exception {
        Path journal = folder.resolve("journal");
        LongRun.write(journal, Instant.parse("2026-03-02T08:00:00Z"), 1_000);
        LongRun.write(journal, Instant.parse("2026-03-02T10:00:00Z"), PRESSES);
        assertThat(megabytes(journal)).isGreaterThan(HEAP_MEGABYTES * 3 / 2);

        assertThat(replay(journal))
                .startsWith("Run 2 of 2, 2026-03-02T11:00:00")
                .contains(" decisions, all equal to those in the journal.", "\nTake " + PRESSES / 60 + "\n");
    }

    /** Also tells how long it is. */
    private static long megabytes(Path journal) throws IOException {
        long bytes = 0;
        long records = 0;
        for (Path file : JournalFolder.journals(journal)) {
            bytes += Files.size(file);
            try (Stream<String> lines = Files.lines(file)) {
                records += lines.count();
            }
        }
        System.out.printf(
                Locale.ROOT, "%,d records in %,d MB, for a heap of %d MB%n", records, bytes >> 20, HEAP_MEGABYTES);
        return bytes >> 20;
    }

    private String replay(Path journal) throws IOException, InterruptedException {
        Path said = folder.resolve("said.txt");
        long before = System.nanoTime();
        Process process = new ProcessBuilder(
                        Path.of(System.getProperty("java.home"), "bin", "java").toString(),
                        "-XX:+UseSerialGC",
                        "-Xmx" + HEAP_MEGABYTES + "m",
                        "-cp",
                        System.getProperty("java.class.path"),
                        Main.class.getName(),
                        "replay",
                        journal.toString(),
                        "-o",
                        folder.resolve("again").toString())
                .redirectErrorStream(true)
                .redirectOutput(said.toFile())
                .start();
        try {
            assertThat(process.waitFor(10, TimeUnit.MINUTES)).as("it ended").isTrue();
        } finally {
            process.destroyForcibly();
        }
        System.out.printf(Locale.ROOT, "replayed in %.1f s%n", (System.nanoTime() - before) / 1e9);
        String words = Files.readString(said);
        assertThat(process.exitValue()).as(words).isZero();
        return words;
    }
}
