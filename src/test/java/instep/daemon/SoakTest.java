package instep.daemon;

import static org.assertj.core.api.Assertions.assertThat;
import static org.awaitility.Awaitility.await;

import instep.config.ConfigReader;
import instep.journal.Audit;
import instep.journal.JournalScan;
import instep.rehearsal.Comparison;
import instep.rehearsal.RecordedRun;
import instep.rehearsal.Replay;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import java.util.concurrent.TimeUnit;
import java.util.stream.Stream;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.Timeout;
import org.junit.jupiter.api.io.CleanupMode;
import org.junit.jupiter.api.io.TempDir;

/**
 * Days of lessons in minutes, by a person with restless feet and bad luck: each {@link SoakDay} has 600 presses and all that can happen to a desk. In the first quarter of the time the
 * daemon is killed now and then, and started again; then one process lives to the end. What is asked after each day is asked from outside: what the gear has heard, what stands in the
 * journal, what the desk page shows, and what the process uses. {@code soak.minutes} says how long, {@code soak.seed} which feet.
 */
@Tag("soak")
class SoakTest {
    private static final Duration PATIENCE = Duration.ofSeconds(60);
    /** By then, everything has happened that makes caches and buffers grow. */
    private static final int SETTLED = 3;

    @TempDir(cleanup = CleanupMode.ON_SUCCESS) // what a fault was found in is looked at
    private Path work = Path.of("");

    @Timeout(value = 30, unit = TimeUnit.DAYS) // it ends by itself, after as long as was asked for
    @Test
    void nothingIsLostOrStuckAndNothingGrows() throws Exception {
        long minutes = Long.getLong("soak.minutes", 5);
        long seed = Long.getLong("soak.seed", 20_260_302L);
        long begin = System.nanoTime();
        long end = begin + TimeUnit.MINUTES.toNanos(minutes);
        long calm = begin + TimeUnit.MINUTES.toNanos(minutes) / 4;
        int port = LineSink.freePort();
        try (SoakGear gear = new SoakGear();
                SoakDesk desk = SoakDesk.open(work, gear.placed(SoakDay.configuration(port)));
                SoakViewer viewer = new SoakViewer(port);
                SoakJournal journal = new SoakJournal(desk.folder)) {
            SoakDay day = new SoakDay(seed, port, desk, gear, viewer, journal);
            List<SoakDesk.Use> settled = new ArrayList<>();
            do {
                boolean isRisky = System.nanoTime() < calm || day.kills() == 0;
                day.live(isRisky);
                SoakDesk.Use use = desk.use();
                System.out.println(day.report() + ", " + use);
                if (!isRisky) {
                    settled.add(use);
                    if (settled.size() > SETTLED) {
                        doesNotGrow(desk, settled.get(SETTLED - 1));
                    }
                }
            } while (System.nanoTime() < end || settled.size() <= SETTLED);
            desk.end();
            assertThat(viewer.visits())
                    .as("whoever looks at the page is never turned away")
                    .isBetween(day.kills() + 1, 2 * day.kills() + 1);
        }
        isWhole(work.resolve("journal"));
        holdsInAReplay(work.resolve("journal"), work.resolve("again"));
    }

    /** A busy machine may take a while to close what has been let go. */
    private static void doesNotGrow(SoakDesk desk, SoakDesk.Use first) {
        await().atMost(PATIENCE).untilAsserted(() -> {
            SoakDesk.Use use = desk.use();
            assertThat(use.threads()).isLessThanOrEqualTo(first.threads() + 1);
            assertThat(use.descriptors()).isLessThanOrEqualTo(first.descriptors() + 1);
            assertThat(use.heap()).isLessThan(first.heap() + 2_000_000);
            assertThat(use.resident()).isLessThan(first.resident() + 24_000_000);
        });
    }

    private static void isWhole(Path folder) throws Exception {
        List<String> faults = new ArrayList<>();
        JournalScan.of(folder, new Audit(faults::add));
        assertThat(faults).isEmpty();
    }

    /** The last run of a journal: it must decide the same. */
    static void holdsInAReplay(Path folder, Path again) throws Exception {
        RecordedRun run = RecordedRun.read(folder, 0).orElseThrow();
        Replay.write(run, ConfigReader.parse("pottery.yaml", run.config().orElseThrow()), again, "it");
        Comparison both = Comparison.of(run, RecordedRun.read(again, 0).orElseThrow());
        assertThat(both.differences()).isEmpty();
        assertThat(both.decisions()).isPositive();
        try (Stream<Path> files = Files.list(again)) {
            for (Path file : files.toList()) {
                Files.delete(file);
            }
        }
    }
}
