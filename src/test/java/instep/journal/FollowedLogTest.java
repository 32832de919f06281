package instep.journal;

import static org.assertj.core.api.Assertions.assertThat;
import static org.awaitility.Awaitility.await;

import instep.Main;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import java.util.stream.Stream;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** Who follows the event log loses no line when a new file takes its place: {@code tail -F} of GNU coreutils, and {@code instep tail}. */
class FollowedLogTest {
    private static final int BATCH = 50;
    private static final int BATCHES = 8;
    private static final Duration PATIENCE = Duration.ofSeconds(60);

    @TempDir
    private Path folder;

    @Test
    void isFollowedOverTheBeginningOfAnotherFile() throws Exception {
        Path log = folder.resolve(EventLog.FILE);
        Files.createFile(log);
        Path gnu = folder.resolve("gnu");
        Path own = folder.resolve("own");
        Process tail = start(gnu, "tail", "-n", "+1", "-F", log.toString());
        Process instep = start(
                own,
                Path.of(System.getProperty("java.home"), "bin", "java").toString(),
                "-cp",
                System.getProperty("java.class.path"),
                Main.class.getName(),
                "tail",
                "-n",
                String.valueOf(BATCH),
                folder.toString());
        List<String> written = new ArrayList<>();
        // Each file holds more than a batch: both are given the time to see the end of one before there is a third.
        try (EventLog events = EventLog.open(folder, false, false, "6KB")) {
            for (int batch = 0; batch < BATCHES; batch++) {
                for (int i = 0; i < BATCH; i++) {
                    String line =
                            String.format("10:00:%02d:%02d  take 1      CUT     wide -> wheel  %60d", batch, i, i);
                    events.accept(line);
                    written.add(line);
                }
                await().atMost(PATIENCE).until(() -> Files.readAllLines(gnu).equals(written));
                await().atMost(PATIENCE).until(() -> Files.readAllLines(own).equals(written));
            }
        } finally {
            tail.destroy();
            instep.destroy();
        }
        try (Stream<Path> files = Files.list(folder)) {
            assertThat(files.filter(file -> file.getFileName().toString().startsWith("events-")))
                    .as("there were other files meanwhile")
                    .hasSizeGreaterThan(3);
        }
    }

    private static Process start(Path out, String... command) throws IOException {
        return new ProcessBuilder(command)
                .redirectOutput(out.toFile())
                .redirectError(ProcessBuilder.Redirect.DISCARD)
                .start();
    }
}
