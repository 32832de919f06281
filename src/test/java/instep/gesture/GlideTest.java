package instep.gesture;

import static org.assertj.core.api.Assertions.assertThat;

import java.lang.management.ManagementFactory;
import java.util.ArrayList;
import java.util.List;
import net.jqwik.api.ForAll;
import net.jqwik.api.Property;
import net.jqwik.api.constraints.DoubleRange;
import net.jqwik.api.constraints.IntRange;
import net.jqwik.api.constraints.LongRange;
import net.jqwik.api.constraints.Size;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

class GlideTest {
    private static final long INTERVAL = 40;

    private record Told(long value, long at) {}

    @Test
    void tellsTheFirstPositionAtOnceAndTheLastOfThoseThatComeTooSoonWhenItsTimeHasCome() {
        Glide glide = new Glide(new Moves(0, Scale.PERCENT, INTERVAL));
        assertThat(glide.moved(0.1, 1000)).isTrue();
        assertThat(glide.deadline()).isEqualTo(Recognizer.NEVER);
        assertThat(glide.moved(0.2, 1010)).isFalse();
        assertThat(glide.moved(0.3, 1020)).isFalse();
        assertThat(glide.deadline()).isEqualTo(1040);
        assertThat(glide.timedOut(1040)).isTrue();
        assertThat(glide.text()).isEqualTo("30");
        assertThat(glide.deadline()).isEqualTo(Recognizer.NEVER);
        assertThat(glide.moved(0.4, 1090)).isTrue();
    }

    @Test
    void tellsNothingTwiceAndForgetsAWayThereAndBack() {
        Glide glide = new Glide(new Moves(0, Scale.PERCENT, INTERVAL));
        assertThat(glide.moved(0.500, 1000)).isTrue();
        assertThat(glide.moved(0.501, 1100)).as("the same on the scale").isFalse();
        assertThat(glide.moved(0.6, 1110)).isTrue();
        assertThat(glide.moved(0.7, 1120)).isFalse();
        assertThat(glide.moved(0.6, 1130)).isFalse();
        assertThat(glide.deadline()).isEqualTo(Recognizer.NEVER);
    }

    @ParameterizedTest
    @CsvSource({
        "0, 100, 0, 0, 0",
        "0, 100, 0, 1, 100",
        "0, 100, 0, 0.5, 50",
        "0, 127, 0, 0.5, 64",
        "100, 0, 0, 0.25, 75",
        "-600, 60, 1, 0, -60.0",
        "-600, 60, 1, 1, 6.0",
        "0, 1000, 3, 0.3333, 0.333",
        "0, 1000000000, 9, 1, 1.000000000",
        "100, 150, 2, 0, 1.00"
    })
    void writesPositionsOnTheirScale(long from, long to, int decimals, double share, String text) {
        Scale scale = new Scale(from, to, decimals);
        assertThat(scale.text(scale.at(share))).isEqualTo(text);
    }

    @Property
    void scalingIsMonotoneAndItsEndsAreExact(
            @ForAll @LongRange(min = -Scale.LARGEST, max = Scale.LARGEST) long from,
            @ForAll @LongRange(min = -Scale.LARGEST, max = Scale.LARGEST) long to,
            @ForAll @DoubleRange(min = 0, max = 1) double one,
            @ForAll @DoubleRange(min = 0, max = 1) double other) {
        if (from == to) {
            return;
        }
        Scale scale = new Scale(from, to, 0);
        assertThat(scale.at(0)).isEqualTo(from);
        assertThat(scale.at(1)).isEqualTo(to);
        long near = scale.at(Math.min(one, other));
        long far = scale.at(Math.max(one, other));
        assertThat(Long.signum(far - near)).isIn(0, Long.signum(to - from));
        assertThat(near).isBetween(Math.min(from, to), Math.max(from, to));
    }

    /** Each step is a wait and a position; deadlines are kept as soon as they have come. */
    @Property
    void neverTellsMoreOftenThanItMayAndAlwaysTheLast(
            @ForAll @Size(max = 100) List<@IntRange(min = 0, max = 2_000) Integer> steps,
            @ForAll @LongRange(min = 1, max = 60) long interval) {
        Glide glide = new Glide(new Moves(0, new Scale(0, 20, 0), interval));
        List<Told> told = new ArrayList<>();
        long at = 0;
        double share = -1;
        for (int step : steps) {
            at += step % 40;
            if (glide.deadline() <= at) {
                long due = glide.deadline();
                assertThat(glide.timedOut(due)).isTrue();
                told.add(new Told(glide.value(), due));
            }
            share = step / 2_000.0;
            if (glide.moved(share, at)) {
                told.add(new Told(glide.value(), at));
            }
        }
        long due = glide.deadline();
        if (due != Recognizer.NEVER) {
            assertThat(due).isBetween(at, at + interval);
            assertThat(glide.timedOut(due)).isTrue();
            told.add(new Told(glide.value(), due));
        }
        for (int i = 1; i < told.size(); i++) {
            assertThat(told.get(i).at() - told.get(i - 1).at()).isGreaterThanOrEqualTo(interval);
            assertThat(told.get(i).value()).isNotEqualTo(told.get(i - 1).value());
        }
        if (!steps.isEmpty()) {
            assertThat(told.get(told.size() - 1).value()).isEqualTo(new Scale(0, 20, 0).at(share));
        }
    }

    @Test
    void allocatesNothingPerMove() {
        com.sun.management.ThreadMXBean threads = (com.sun.management.ThreadMXBean) ManagementFactory.getThreadMXBean();
        Glide glide = new Glide(new Moves(0, Scale.PERCENT, INTERVAL));
        long told = often(glide, 0);
        long before = threads.getCurrentThreadAllocatedBytes();
        told += often(glide, 1_000_000);
        assertThat(threads.getCurrentThreadAllocatedBytes() - before).isLessThan(10_000);
        assertThat(told).isGreaterThan(1_000);
    }

    private static long often(Glide glide, long from) {
        long told = 0;
        for (long at = from; at < from + 100_000; at++) {
            told += glide.moved(at % 1_000 / 1_000.0, at) ? 1 : 0;
        }
        return told;
    }
}
