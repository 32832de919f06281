package instep.journal;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.concurrent.TimeUnit;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** A journal of eight hours and ten million records, read by the jar in a heap of 64 MiB. It needs 2 GB of disk. */
@Tag("lab")
class LongJournalIT {
    private static final String JAR = System.getProperty("instep.jar", "target/instep.jar");
    private static final long RECORDS = Long.getLong("instep.records", 10_000_000L);

    @TempDir
    private Path folder;

    @Test
    void isReadInAHeapOf64MiB() throws Exception {
        Path journal = Files.createDirectory(folder.resolve("takes"));
        Path file = journal.resolve("journal-2026-03-02.jsonl");
        long records = LongJournal.write(file, RECORDS);
        assertThat(records).isBetween(RECORDS * 99 / 100, RECORDS * 101 / 100);
        System.out.printf(Locale.ROOT, "%,d records, %,d bytes%n", records, Files.size(file));

        String cuts = instep(records, "cutlist", journal.toString(), "--lead", "6f", "-w", folder + "/a.csv");
        assertThat(cuts.lines().filter(line -> line.startsWith("Take "))).hasSize(LongJournal.TAKES);
        assertThat(Files.readAllLines(folder.resolve("a-take8.csv"))).hasSize(1 + LongJournal.CUTS_A_TAKE);

        String takes = instep(records, "journal", "takes", journal.toString());
        long takeFrames = LongJournal.CUTS_A_TAKE * LongJournal.FRAMES_A_CUT;
        assertThat(takeFrames).isEqualTo(58 * 60 * 25 + 20 * 25);
        assertThat(takes.lines().filter(line -> line.contains("58:20.000"))).hasSize(LongJournal.TAKES);

        Path page = folder.resolve("a.html");
        instep(records, "report", journal.toString(), "--text", "-o", page.toString());
        assertThat(Files.readString(page)).contains("id=\"take-8\"");
        instep(records, "journal", "verify", journal.toString());
    }

    private String instep(long records, String... arguments) throws IOException, InterruptedException {
        List<String> command = new ArrayList<>(List.of(
                ProcessHandle.current().info().command().orElse("java"), "-XX:+UseSerialGC", "-Xmx64m", "-jar", JAR));
        command.addAll(List.of(arguments));
        Path out = folder.resolve("out");
        long before = System.nanoTime();
        Process process = new ProcessBuilder(command)
                .redirectErrorStream(true)
                .redirectOutput(out.toFile())
                .start();
        try {
            assertThat(process.waitFor(20, TimeUnit.MINUTES)).as("it ended").isTrue();
        } finally {
            process.destroyForcibly();
        }
        double seconds = (System.nanoTime() - before) / 1e9;
        System.out.printf(
                Locale.ROOT,
                "%-14s %,.0f records a second%n",
                arguments[0] + " " + arguments[1].replaceAll(".*/.*", ""),
                records / seconds);
        String said = Files.readString(out, StandardCharsets.UTF_8);
        assertThat(process.exitValue()).as(said).isZero();
        return said;
    }
}
