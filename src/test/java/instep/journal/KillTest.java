package instep.journal;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.BufferedReader;
import java.io.IOException;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Set;
import java.util.function.Consumer;
import java.util.stream.Collectors;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** A process of its own journals as fast as it can until it is killed. */
class KillTest {
    @TempDir
    private Path folder;

    /** The process: prints the number of each record that a person has been shown. */
    static final class Victim {
        private Victim() {}

        public static void main(String[] args) throws IOException {
            JournalSettings settings = TestJournal.settings(Path.of(args[0]), Durability.OS, 1_000);
            Consumer<String> shown = line -> System.out.println(line);
            try (Journal journal = Journal.open(settings, TestJournal.wall(), shown)) {
                for (long i = 0; !Thread.currentThread().isInterrupted(); i++) {
                    journal.append(i, i, Happening.mark("step", Long.toString(i), -1));
                    journal.flush();
                }
            }
        }
    }

    @Test
    void whatAPersonHasSeenIsInTheFileOfAProcessThatWasKilled() throws IOException, InterruptedException {
        List<String> shown = shownBefore(3_000, folder);

        TestJournal.open(folder).close();
        assertThat(marks(folder)).containsAll(steps(shown)).hasSizeGreaterThan(100);
        List<String> faults = new ArrayList<>();
        JournalScan.of(folder, new Audit(faults::add));
        assertThat(faults).isEmpty();
    }

    /** The texts of the marks that the journal has. */
    static Set<String> marks(Path place) throws IOException {
        return TestJournal.read(TestJournal.file(place)).stream()
                .flatMap(entry -> entry.text(Key.TEXT).stream())
                .collect(Collectors.toSet());
    }

    /** The numbers in lines such as {@code 00:00:00:00  -  MARK  step  "7"}. */
    static List<String> steps(List<String> shown) {
        return shown.stream()
                .filter(line -> line.contains("MARK"))
                .map(line -> line.replaceFirst(".*\"([0-9]+)\".*", "$1"))
                .toList();
    }

    /** Starts a process and kills it when it has shown so many lines; returns all that it has shown. */
    static List<String> shownBefore(int lines, Path folder) throws IOException, InterruptedException {
        Process victim = new ProcessBuilder(
                        Path.of(System.getProperty("java.home"), "bin", "java").toString(),
                        "-XX:TieredStopAtLevel=1",
                        "-XX:+UseSerialGC",
                        "-cp",
                        System.getProperty("java.class.path"),
                        Victim.class.getName(),
                        folder.toString())
                .redirectError(ProcessBuilder.Redirect.INHERIT)
                .start();
        List<String> shown = new ArrayList<>();
        try (BufferedReader out = victim.inputReader()) {
            for (String line = out.readLine(); line != null; line = out.readLine()) {
                shown.add(line);
                if (shown.size() == lines) {
                    victim.toHandle().destroyForcibly();
                }
            }
        }
        assertThat(victim.waitFor()).isEqualTo(137);
        // What the kill has cut was not shown in full.
        return shown.subList(0, shown.size() - 1);
    }
}
