package instep.clock;

import static org.assertj.core.api.Assertions.assertThat;

import instep.time.FrameRate;
import instep.time.Timecode;
import instep.time.TimecodeLine;
import java.time.ZoneOffset;
import java.util.List;
import java.util.Locale;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.MethodSource;

/**
 * Timecode against the truth of a rig over a working day, in virtual time; prints the rows of docs/accuracy.md. The system property {@code hours} makes the day longer.
 */
class AccuracyTest {
    private static final long SECOND = 1_000_000_000L;
    private static final double HOURS = Double.parseDouble(System.getProperty("hours", "8"));
    private static final double DRIFT = 50e-6;

    static List<String> rates() {
        return FrameRate.labels();
    }

    /** The player runs fast and the card slow, or the other way round: the worst of both. Both only if there is time. */
    @ParameterizedTest
    @MethodSource("rates")
    void linearTimecodeIsRightToTheFrameAllDay(String name) {
        FrameRate rate = FrameRate.named(name).orElseThrow();
        int[] signs =
                System.getProperty("hours") != null ? new int[] {-1, 1} : new int[] {rates().indexOf(name) % 2 * 2 - 1};
        for (int sign : signs) {
            ChaseRig rig = new ChaseRig(rate, sign * DRIFT, -sign * DRIFT, 11);
            rig.run(SECOND / 2, false);
            long cued = rig.now();
            rig.play(Timecode.wrapped(rate, -1000L * (rate.counted() > 30 ? 2 : 1)));
            rig.run(cued + SECOND, true);
            double lock = rig.framesIn(rig.now() - cued);
            assertThat(rig.news).containsExactly(Chase.News.LOCKED);
            rig.run(cued + 2 * SECOND, false);
            double first = rig.worstNanos();
            rig.forgetWorst();
            rig.run(cued + (long) (HOURS * 3600 * SECOND), false);
            assertThat(rig.news).containsOnly(Chase.News.LOCKED, Chase.News.FOLLOWS);
            assertThat(rig.news.stream().filter(Chase.News.LOCKED::equals)).hasSize(1);
            assertThat(rig.troubles).isEmpty();
            int lines = rig.news.size();
            long stopped = rig.now();
            rig.stop();
            rig.run(stopped + SECOND, true);
            double loss = rig.framesIn(rig.now() - stopped);
            assertThat(rig.news.get(lines)).isEqualTo(Chase.News.FREEWHEELING);
            System.out.printf(
                    Locale.ROOT,
                    "| %-10s | %+4.0f | %9d | %d | %4.0f | %4.0f | %4.1f | %4.1f | %5d |%n",
                    name,
                    sign * DRIFT * 1e6,
                    rig.frames(),
                    rig.wrongFrames(),
                    first / 1e3,
                    rig.worstNanos() / 1e3,
                    lock,
                    loss,
                    lines);
            assertThat(rig.wrongFrames()).isZero();
            assertThat(rig.worstNanos()).isLessThan(1.5e6);
            assertThat(lock).isLessThanOrEqualTo(10);
            assertThat(loss).isLessThanOrEqualTo(10);
        }
    }

    /** Takes of five minutes, one after the other all day; the recorder was set at the beginning of each and drifts. */
    @ParameterizedTest
    @MethodSource("rates")
    void theTimeOfDayIsRightToOneFrameInATake(String name) {
        FrameRate rate = FrameRate.named(name).orElseThrow();
        TimeOfDay source = new TimeOfDay(rate, ZoneOffset.UTC, nanos -> nanos);
        long take = 300 * SECOND;
        long worst = 0;
        for (long begin = 7 * SECOND / 3; begin < (long) (HOURS * 3600 * SECOND); begin += take) {
            TimecodeLine line = source.lineThrough(begin);
            for (long in = 0; in < take; in += take / 997) {
                long recorder = line.frameAt(begin + in + Math.round(in * DRIFT));
                worst = Math.max(worst, Math.abs(recorder - line.frameAt(begin + in)));
            }
        }
        System.out.printf("| %-10s | %d |%n", name, worst);
        assertThat(worst).isEqualTo(1);
    }
}
