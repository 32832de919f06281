package instep.daemon;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.ArrayDeque;
import java.util.Queue;
import java.util.concurrent.RejectedExecutionException;
import org.junit.jupiter.api.Test;

class PulseTest {
    private final Queue<Runnable> asked = new ArrayDeque<>();
    private long now = 1_000;
    private final Pulse pulse = new Pulse(asked::add, () -> now);

    @Test
    void aThreadThatGetsRoundOwesNothing() {
        for (int i = 0; i < 3; i++) {
            assertThat(pulse.silence()).isZero();
            now += 1_000_000;
            assertThat(asked).hasSize(1);
            asked.remove().run();
        }
    }

    @Test
    void oneThatStandsStillIsAskedOnceAndOwesTheSignEverLonger() {
        pulse.silence();
        now += 700;
        assertThat(pulse.silence()).isEqualTo(700);
        now += 700;
        assertThat(pulse.silence()).isEqualTo(1_400);
        assertThat(asked).hasSize(1);
        asked.remove().run();
        assertThat(pulse.silence()).isZero();
    }

    @Test
    void oneThatHasEndedOwesItsLastSign() {
        Pulse ended = new Pulse(
                task -> {
                    throw new RejectedExecutionException("it has ended");
                },
                () -> now);
        ended.silence();
        now += 5;
        assertThat(ended.silence()).isEqualTo(5);
    }
}
