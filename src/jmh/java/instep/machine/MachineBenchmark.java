package instep.machine;

import java.util.concurrent.TimeUnit;
import org.jspecify.annotations.Nullable;
import org.openjdk.jmh.annotations.Benchmark;
import org.openjdk.jmh.annotations.BenchmarkMode;
import org.openjdk.jmh.annotations.Mode;
import org.openjdk.jmh.annotations.OutputTimeUnit;
import org.openjdk.jmh.annotations.Scope;
import org.openjdk.jmh.annotations.State;

/**
 * From edges and events to effects, one a call. {@code machine0Baseline} looks up what an event enables in a table and tells one effect of it: the ratio to
 * it is what a figure of one machine says on another.
 */
@State(Scope.Thread)
@BenchmarkMode(Mode.AverageTime)
@OutputTimeUnit(TimeUnit.NANOSECONDS)
public class MachineBenchmark {
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

    private static final String REGIONS = """
            parallel p
              state angles angle wide
                on left.press -> close until left.release
                state far
                state close angle wheel
              state work
                on right.press -> away
                state throwing
                  on e -> turning
                state turning
                  on e -> throwing
                deep history h -> throwing
              state away
                on right.press -> h
            """;

    private final Told told = new Told();
    private final Interpreter lesson = interpreter(LESSON);
    private final Interpreter regions = interpreter(REGIONS);
    private final Interpreter deep = interpreter(deepChart());
    private final int deepEvent = ChartText.of(deepChart()).event("e");
    private final Effects[] nobody = {new Told(), new Told(), told};
    private final int[][] table = new int[64][16];

    private long now;
    private int turn;

    /** Begins the lesson. */
    public MachineBenchmark() {
        lesson.edge(2, true, false, now += 10 * MILLIS);
        lesson.edge(2, false, false, now += 600 * MILLIS);
    }

    private Interpreter interpreter(String text) {
        Interpreter interpreter = new Interpreter(ChartText.of(text), name -> null, told, (g, began, at) -> {});
        interpreter.start(0);
        return interpreter;
    }

    /** 30 states within each other, and 170 beside them. */
    private static String deepChart() {
        StringBuilder text = new StringBuilder();
        for (int depth = 0; depth < 30; depth++) {
            text.append("  ".repeat(depth)).append("state d").append(depth).append('\n');
        }
        text.insert(text.indexOf("\n") + 1, "  on e -> x0\n");
        for (int i = 0; i < 170; i++) {
            text.append("state x").append(i).append("\n  on e -> d29\n");
        }
        return text.toString();
    }

    /** An event is looked up, its effect told. */
    @Benchmark
    public long machine0Baseline() {
        now += 4 * MILLIS;
        nobody[turn++ % 3].cut(table[turn & 63][turn & 15], now, now);
        return told.count;
    }

    /** Left is momentary, middle is a latch, right taps: edges through gestures and chart, as in a lesson. */
    @Benchmark
    public long machineEdge() {
        tell(lesson);
        return told.count;
    }

    /** A detour to another state, a history and a region beside them. */
    @Benchmark
    public long machineEdgeInRegions() {
        tell(regions);
        return told.count;
    }

    /** Thirty states are left or entered. */
    @Benchmark
    public long machineEventThirtyDeep() {
        deep.event(deepEvent, now += MILLIS);
        return told.count;
    }

    private void tell(Interpreter interpreter) {
        interpreter.edge(turn % 3, turn / 3 % 2 == 0, false, now += 4 * MILLIS);
        turn++;
    }

    /** Counts. */
    private static final class Told implements Effects {
        long count;

        @Override
        public void taken(int transition, boolean returning, long began, long at) {
            count++;
        }

        @Override
        public void entered(int state, long began, long at) {
            count++;
        }

        @Override
        public void left(int state, long began, long at) {
            count++;
        }

        @Override
        public void takeOpened(long take, long began, long at) {
            count++;
        }

        @Override
        public void takeClosed(long take, long began, long at) {
            count++;
        }

        @Override
        public void cut(int angle, long began, long at) {
            count += angle + 1;
        }

        @Override
        public void send(int message, Values values, long began, long at) {
            count++;
        }

        @Override
        public void mark(String kind, @Nullable String text, long began, long at) {
            count++;
        }

        @Override
        public void fault(String text, long at) {
            throw new AssertionError(text);
        }
    }
}
