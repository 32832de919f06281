package instep.daemon;

import static instep.daemon.DeskRig.CONFIGURATION;
import static instep.daemon.DeskRig.RIGHT;
import static org.assertj.core.api.Assertions.assertThat;

import instep.clock.WallClock;
import instep.input.ClockWatch;
import instep.journal.Disk;
import instep.journal.Kind;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.time.Instant;
import java.util.concurrent.CompletableFuture;
import java.util.concurrent.atomic.AtomicLong;
import java.util.stream.IntStream;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** This computer's clock is set while the desk runs. What becomes of timecode is the chronicle's. */
class ClockSetTest {
    @TempDir
    private Path work = Path.of("");

    @Test
    void isToldAtOnceAndInATakeThatTheTakeKeepsItsTime() throws Exception {
        try (DeskRig rig = DeskRig.open(work, CONFIGURATION)) {
            rig.clockSet();
            rig.says("this computer's clock was set: the next take counts from the new time");
            rig.press(RIGHT);
            rig.tells(Kind.TAKE_OPEN, 1);
            rig.clockSet();
            rig.says("this computer's clock was set: take 1 keeps the time that it began with, the next take");
            assertThat(rig.replayed()).isEqualTo(rig.decisions());
        }
    }

    /** What makes the take begin has the old time still, however late that is written. */
    @Test
    void countsForTheNextTakeFromItsFirstRecordOn() throws Exception {
        AtomicLong set = new AtomicLong();
        WallClock clock = new WallClock(System::nanoTime, () -> System.nanoTime() + set.get());
        try (DeskRig rig = DeskRig.open(work, CONFIGURATION, new Daemon.Surroundings(Disk.REAL, clock))) {
            for (int take = 1; take <= 20; take++) {
                set.addAndGet(Duration.ofMinutes(take).toNanos());
                rig.press(RIGHT);
                rig.tells(Kind.TAKE_OPEN, take);
                rig.press(RIGHT);
                rig.tells(Kind.TAKE_CLOSE, take);
            }
            assertThat(rig.entries(Kind.TAKE_OPEN))
                    .extracting(open -> Math.round(Duration.between(Instant.EPOCH.plusNanos(open.mono()), open.time())
                                    .toMillis()
                            / 60_000.0))
                    .isEqualTo(IntStream.rangeClosed(1, 20)
                            .mapToObj(take -> (long) take * (take + 1) / 2)
                            .toList());
            assertThat(rig.replayed()).isEqualTo(rig.decisions());
        }
    }

    @Test
    void saysWhenItIsBehindTheJournal() throws Exception {
        Path folder = Files.createDirectories(work.resolve("live"));
        Files.createFile(folder.resolve("journal-2099-01-01.jsonl"));
        try (DeskRig rig = DeskRig.open(work, CONFIGURATION)) {
            rig.says("but the journal has come to 2099-01-01 already");
            assertThat(rig.entries().get(0).kind()).isEqualTo(Kind.START);
        }
    }

    /** timerfd_create(2): the kernel has such a timer since Linux 3.0. */
    @Test
    void canBeNoticedOnThisKernel() {
        try (Loop loop = Loop.open(1)) {
            ClockWatch watch = new ClockWatch(loop.eventLoop(), () -> {});
            assertThat(CompletableFuture.supplyAsync(watch::start, loop.eventLoop())
                            .join())
                    .isEqualTo(loop.readsDevices());
            CompletableFuture.runAsync(watch::close, loop.eventLoop()).join();
        }
    }
}
