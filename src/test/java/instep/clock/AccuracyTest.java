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
        for (int sign : signs(name)) {
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

    /** A player that is fast or slow, and messages that are late by a millisecond on average. */
    @ParameterizedTest
    @MethodSource("rates")
    void midiTimecodeIsRightToTheFrameAllDay(String name) {
        FrameRate rate = FrameRate.named(name).orElseThrow();
        for (int sign : signs(name)) {
            MidiRig rig = new MidiRig(rate, sign * DRIFT, 11);
            rig.play(Timecode.wrapped(rate, -1000), SECOND);
            rig.run(2 * SECOND, true);
            double lock = (rig.now() - SECOND) / rig.chase.frameNanos();
            rig.run(3 * SECOND, false);
            MidiRig.Verdict first = rig.verdict();
            rig.run((long) (HOURS * 3600 * SECOND), false);
            MidiRig.Verdict day = rig.verdict();
            int lines = rig.heard.news.size();
            double loss = rig.stop();
            System.out.printf(
                    Locale.ROOT,
                    "| %-10s | %+4.0f | %9d | %d | %5.0f | %5.0f | %4.1f | %4.1f | %5d |%n",
                    name,
                    sign * DRIFT * 1e6,
                    first.frames + day.frames,
                    first.wrong + day.wrong,
                    first.worstNanos / 1e3,
                    day.worstNanos / 1e3,
                    lock,
                    loss,
                    lines);
            assertThat(rig.heard.turns()).containsExactly(Chase.News.LOCKED, Chase.News.FREEWHEELING);
            assertThat(first.wrong + day.wrong).isZero();
            int pairs = rate.counted() > 30 ? 2 : 1;
            assertThat(lock / pairs).isLessThanOrEqualTo(10);
            assertThat(loss / pairs).isLessThanOrEqualTo(10);
        }
    }

    /** Gear that is asked every two seconds, and gear that tells twice a second by itself. */
    @ParameterizedTest
    @MethodSource("rates")
    void whatGearReportsIsRightToOneFrameAllDay(String name) {
        FrameRate rate = FrameRate.named(name).orElseThrow();
        for (boolean isAsked : new boolean[] {true, false}) {
            for (int sign : signs(name)) {
                ReportRig rig = new ReportRig(rate, sign * DRIFT, isAsked ? 2 * SECOND : SECOND / 2, isAsked, 11);
                rig.cue(Timecode.wrapped(rate, -1000));
                long began = rig.now();
                rig.run(20 * SECOND, true);
                double lock = (rig.now() - began) / 1e9;
                rig.run((long) (HOURS * 3600 * SECOND), false);
                System.out.printf(
                        Locale.ROOT,
                        "| %-10s | %-5s | %+4.0f | %9d | %d | %5.1f | %4.1f | %5d |%n",
                        name,
                        isAsked ? "asked" : "told",
                        sign * DRIFT * 1e6,
                        rig.frames(),
                        rig.worstFrames(),
                        rig.worstNanos() / 1e6,
                        lock,
                        rig.heard.news.size());
                assertThat(rig.heard.turns()).containsExactly(Chase.News.LOCKED);
                assertThat(rig.worstFrames()).isLessThanOrEqualTo(1);
            }
        }
    }

    private static int[] signs(String name) {
        return System.getProperty("hours") != null ? new int[] {-1, 1} : new int[] {rates().indexOf(name) % 2 * 2 - 1};
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
