package instep.daemon;

import static org.assertj.core.api.Assertions.assertThat;

import instep.clock.KernelClock;
import instep.clock.WallClock;
import java.util.ArrayDeque;
import java.util.List;
import java.util.Queue;
import org.junit.jupiter.api.Test;

class SystemTimeTest {
    private final Queue<KernelClock.Reading> kernel = new ArrayDeque<>(List.of(
            new KernelClock.Reading(KernelClock.State.UNSYNCHRONIZED, -1),
            new KernelClock.Reading(KernelClock.State.SYNCHRONIZED, 1_500)));

    @Test
    void saysOfATakeWhatTheKernelKnowsWhenItBegins() {
        SystemTime time = new SystemTime(WallClock.ofSystem(), kernel::remove);
        assertThat(time.state()).isEqualTo("unsynchronized");
        time.setSince(System.nanoTime());
        assertThat(time.state()).isEqualTo("synchronized");
        assertThat(time.uncertaintyMicros()).isEqualTo(1_500);
    }
}
