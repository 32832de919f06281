package instep.daemon;

import static org.assertj.core.api.Assertions.assertThat;
import static org.awaitility.Awaitility.await;

import instep.config.ConfigReader;
import instep.journal.Entry;
import instep.journal.Key;
import instep.journal.Kind;
import instep.rehearsal.Collected;
import instep.rehearsal.RecordedRun;
import instep.rehearsal.Replay;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.util.List;
import java.util.regex.Pattern;

/** The folder into which a daemon writes, read while it runs and after. */
record RunFolder(Path path) {
    private static final Duration PATIENCE = Duration.ofSeconds(60);

    /** All that its journal tells so far. */
    List<Entry> entries() throws IOException {
        return Collected.entries(path);
    }

    /** The lines for people so far. */
    String log() throws IOException {
        Path log = path.resolve("events.log");
        return Files.exists(log) ? Files.readString(log) : "";
    }

    void waitForLog(String text) {
        waitForLog(text, 1);
    }

    void waitForLog(String text, int times) {
        await().atMost(PATIENCE).until(() -> log().split(Pattern.quote(text), -1).length > times);
    }

    /** What became of timecode, but for the small steps in which it follows. */
    static List<String> timecodes(List<Entry> entries) {
        return entries.stream()
                .filter(entry -> entry.kind() == Kind.SYNC)
                .flatMap(entry -> entry.text(Key.STATE).stream())
                .filter(state -> !state.equals("follows"))
                .toList();
    }

    void waitForTimecode(String state) {
        await().atMost(PATIENCE).until(() -> {
            List<String> states = timecodes(entries());
            return !states.isEmpty() && states.get(states.size() - 1).equals(state);
        });
    }

    /** The same run again, with the configuration that its journal holds: it must decide the same. Returns what that tells. */
    List<Entry> holdsInAReplay() throws Exception {
        RecordedRun run = RecordedRun.read(path, 0).orElseThrow();
        Path again = path.resolve("again");
        Replay.write(run, ConfigReader.parse("again.yaml", run.config().orElseThrow()), again, "it");
        assertThat(Collected.decisions(again))
                .isEqualTo(Collected.decisions(run))
                .isNotEmpty();
        return Collected.entries(again);
    }
}
