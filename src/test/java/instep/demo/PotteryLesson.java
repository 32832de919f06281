package instep.demo;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;

/** The example lesson for tests in which it does not matter how fast the gear, and so the machine, is. */
public final class PotteryLesson {
    private PotteryLesson() {}

    /** The text of the example, in which gear and links may take a minute for everything. */
    public static String patient() throws IOException {
        return Files.readString(Path.of("config-examples/pottery.yaml"))
                .replace("stale-after: 300ms", "stale-after: 60s\n    confirm-within: 60s")
                .replace("roll-within: 1s", "roll-within: 60s")
                .replace(":9702", ":9702\n    within: 60s\n    stale-after: 60s")
                .replace(":9703", ":9703\n    stale-after: 60s");
    }
}
