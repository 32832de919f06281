package instep.daemon;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.ArrayList;
import java.util.List;
import java.util.function.LongConsumer;
import java.util.function.LongSupplier;
import org.junit.jupiter.api.Test;

class StallsTest {
    private static final long MILLI = 1_000_000L;

    private final List<String> told = new ArrayList<>();
    private long now = 10_000 * MILLI;
    private final Stalls stalls = new Stalls(new Told(), told::add);

    private void turn(long takes, long expected) {
        stalls.begin(Stalls.Turn.LINK, "mixer", expected);
        now += takes * MILLI;
        stalls.end();
    }

    @Test
    void tellsATurnThatTookLongerThanAFrame() {
        turn(50, Long.MIN_VALUE);
        assertThat(told).isEmpty();
        turn(51, Long.MIN_VALUE);
        assertThat(told).containsExactly("the desk stood still for 51 ms in the link to mixer");
    }

    @Test
    void tellsATurnThatBeganLate() {
        turn(1, now - 50 * MILLI);
        assertThat(told).isEmpty();
        turn(1, now - 120 * MILLI);
        assertThat(told).singleElement().asString().startsWith("the desk came 120 ms late to the link to mixer:");
    }

    @Test
    void tellsNoMoreThanOneASecond() {
        turn(400, Long.MIN_VALUE);
        turn(400, Long.MIN_VALUE);
        turn(400, Long.MIN_VALUE);
        assertThat(told).hasSize(1);
        turn(401, Long.MIN_VALUE);
        assertThat(told).hasSize(2);
    }

    @Test
    void anEdgeThatIsStampedAheadIsNotLate() {
        turn(1, now + 3_600_000 * MILLI);
        assertThat(told).isEmpty();
    }

    private final class Told implements Clockwork {
        @Override
        public long now() {
            return now;
        }

        @Override
        public long reading() {
            return now;
        }

        @Override
        public long timeOf(long nanos) {
            return nanos;
        }

        @Override
        public long lasted(long nanos) {
            return nanos;
        }

        @Override
        public long settle() {
            return 0;
        }

        @Override
        public void setTimer(LongSupplier nextDeadline, LongConsumer due) {
            // No timers here.
        }

        @Override
        public void arm() {
            // No timers here.
        }

        @Override
        public void later(Runnable task) {
            task.run();
        }

        @Override
        public void bug(RuntimeException bug) {
            throw bug;
        }
    }
}
