package instep.daemon;

import static instep.daemon.DeskRig.CONFIGURATION;
import static instep.daemon.DeskRig.RIGHT;
import static org.assertj.core.api.Assertions.assertThat;

import instep.input.ClockWatch;
import instep.journal.Kind;
import java.nio.file.Path;
import java.util.concurrent.CompletableFuture;
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
