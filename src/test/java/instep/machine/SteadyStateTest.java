package instep.machine;

import static org.assertj.core.api.Assertions.assertThat;

import com.sun.management.ThreadMXBean;
import java.lang.management.ManagementFactory;
import org.jspecify.annotations.Nullable;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/** What the core costs while a lesson runs. */
class SteadyStateTest {
    private static final long MILLIS = 1_000_000L;

    private static final String LESSON = """
            state standby
              on right.hold -> rolling
            state rolling angle wide rolling
              on left.press angle wheel until left.release
              on middle.press angle hands until middle.press
              on right.double-tap do mark retake
              on right.tap do mark flubbed
              on right.hold -> standby
            """;

    /**
     * A minute of 10,000 edges a second allocates nothing, whether they are bounce (0.1 ms apart) or each of them counts (10 ms apart on each
     * contact). The tolerance of 4,096 bytes in 600,000 edges is for what the JVM may do on this thread by itself, such as link a lambda for the
     * first time; one object an edge would be 9.6 MB.
     */
    @ParameterizedTest
    @ValueSource(longs = {100_000, 3_400_000})
    void allocatesNothingForAMinuteOfTenThousandEdgesASecond(long apartNanos) {
        Lesson lesson = new Lesson();
        lesson.play(600_000, apartNanos);
        ThreadMXBean threads = (ThreadMXBean) ManagementFactory.getThreadMXBean();
        long before = threads.getCurrentThreadAllocatedBytes();
        lesson.play(600_000, apartNanos);
        long allocated = threads.getCurrentThreadAllocatedBytes() - before;
        assertThat(allocated).isLessThan(4_096);
        assertThat(lesson.told.cuts).isGreaterThan(1_000);
    }

    /** Measured on the machine that builds: {@code java -cp ... instep.machine.SteadyStateTest}. */
    public static void main(String[] args) {
        int edges = 20_000_000;
        Lesson lesson = new Lesson();
        for (int round = 0; round < 5; round++) {
            long began = System.nanoTime();
            lesson.play(edges, 3_400_000);
            long nanos = System.nanoTime() - began;
            System.out.printf("%.1f million edges/s, %d cuts%n", edges * 1e3 / nanos, lesson.told.cuts);
        }
    }

    /** Left is momentary, middle is a latch, right taps. */
    private static final class Lesson {
        final Told told = new Told();
        private final Interpreter interpreter =
                new Interpreter(ChartText.of(LESSON), name -> null, told, (gesture, began, at) -> {});
        private long now;

        Lesson() {
            interpreter.start(0);
            interpreter.edge(2, true, false, now += 10 * MILLIS);
            interpreter.edge(2, false, false, now += 600 * MILLIS);
        }

        /** The three contacts in turn. */
        void play(int edges, long apartNanos) {
            for (int i = 0; i < edges; i++) {
                interpreter.edge(i % 3, i / 3 % 2 == 0, false, now += apartNanos);
            }
        }
    }

    /** Counts. */
    private static final class Told implements Effects {
        long cuts;

        @Override
        public void taken(int transition, boolean returning, long began, long at) {}

        @Override
        public void entered(int state, long began, long at) {}

        @Override
        public void left(int state, long began, long at) {}

        @Override
        public void takeOpened(long take, long began, long at) {}

        @Override
        public void takeClosed(long take, long began, long at) {}

        @Override
        public void cut(int angle, long began, long at) {
            cuts++;
        }

        @Override
        public void send(int message, Values values, long began, long at) {}

        @Override
        public void mark(String kind, @Nullable String text, long began, long at) {}

        @Override
        public void fault(String text, long at) {
            throw new AssertionError(text);
        }
    }
}
