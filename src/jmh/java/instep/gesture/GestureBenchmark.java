package instep.gesture;

import java.util.List;
import java.util.concurrent.TimeUnit;
import org.openjdk.jmh.annotations.Benchmark;
import org.openjdk.jmh.annotations.BenchmarkMode;
import org.openjdk.jmh.annotations.Mode;
import org.openjdk.jmh.annotations.OutputTimeUnit;
import org.openjdk.jmh.annotations.Scope;
import org.openjdk.jmh.annotations.State;

/**
 * From edges to gestures, one edge a call. {@code gesture0Baseline} tells the same through a call that cannot be foreseen and does nothing with it: the
 * ratio to it is what a figure of one machine says on another.
 */
@State(Scope.Thread)
@BenchmarkMode(Mode.AverageTime)
@OutputTimeUnit(TimeUnit.NANOSECONDS)
public class GestureBenchmark {
    private static final long MILLIS = 1_000_000L;

    private long heard;
    private long now;
    private int edge;

    private final Gestures gestures = new Gestures(
            List.of(
                    new Contact("floor", "left", Timing.DEFAULT),
                    new Contact("floor", "middle", Timing.DEFAULT),
                    new Contact("floor", "right", Timing.DEFAULT)),
            List.of(new Gestures.Chord(List.of(0, 1))),
            List.of());
    private final int doubleTap = gestures.number(2, GestureKind.DOUBLE_TAP);
    private final int chord = gestures.number(3, GestureKind.PRESS);
    private final Recognizer plain = new Recognizer(gestures, gesture -> false, this::hear);
    private final Recognizer waiting =
            new Recognizer(gestures, gesture -> gesture == doubleTap || gesture == chord, this::hear);
    private final Recognizer.Sink[] nobody = {
        (gesture, began, at) -> heard += gesture, (gesture, began, at) -> heard ^= at, this::hear
    };

    private void hear(int gesture, long began, long at) {
        heard += gesture + at - began;
    }

    /** Three calls in turn behind one interface. */
    @Benchmark
    public long gesture0Baseline() {
        now += 4 * MILLIS;
        nobody[edge++ % 3].gesture(edge % 3, now, now);
        return heard;
    }

    /** The three contacts in turn, each edge counts. */
    @Benchmark
    public long gestureEdge() {
        tell(plain, 4 * MILLIS);
        return heard;
    }

    /** The same, where a chord and a double tap make presses and taps wait. */
    @Benchmark
    public long gestureEdgeThatWaits() {
        tell(waiting, 4 * MILLIS);
        return heard;
    }

    /** Ten thousand edges a second: nearly all are bounces. */
    @Benchmark
    public long gestureBounce() {
        tell(plain, MILLIS / 10);
        return heard;
    }

    private void tell(Recognizer recognizer, long apart) {
        recognizer.edge(edge % 3, edge / 3 % 2 == 0, false, now += apart);
        edge++;
    }
}
