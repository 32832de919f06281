package instep.clock;

import static org.assertj.core.api.Assertions.assertThat;

import instep.time.FrameRate;
import instep.time.Timecode;
import java.util.List;
import java.util.Locale;
import java.util.SplittableRandom;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.MethodSource;

/**
 * Timecode against the truth of a rig over a working day, in virtual time; prints the rows of docs/accuracy.md. The system property {@code hours} makes the day longer.
 */
class AccuracyTest {
    private static final long SECOND = 1_000_000_000L;
    private static final double HOURS = Double.parseDouble(System.getProperty("hours", "8"));
    private static final double DRIFT = 50e-6;
    private static final int LOOKS_A_SECOND = 20;

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

    /** A player that is fast or slow, and messages that are late by a millisecond on average. Lock and loss are the worst of all pieces with which it may begin and end. */
    @Tag("lab")
    @ParameterizedTest
    @MethodSource("rates")
    void midiTimecodeIsRightToTheFrameAllDay(String name) {
        FrameRate rate = FrameRate.named(name).orElseThrow();
        for (int sign : signs(name)) {
            double lock = 0;
            double loss = 0;
            for (int piece = 0; piece < 8; piece++) {
                MidiRig any = new MidiRig(rate, sign * DRIFT, 11 + piece);
                any.play(Timecode.wrapped(rate, -1000), SECOND, piece);
                any.run(2 * SECOND, true);
                assertThat(any.heard.news).containsExactly(Chase.News.LOCKED);
                lock = Math.max(lock, (any.now() - SECOND) / any.chase.frameNanos());
                any.run(2 * SECOND + piece * 10_000_000L, false);
                loss = Math.max(loss, any.stop());
                assertThat(any.heard.turns()).containsExactly(Chase.News.LOCKED, Chase.News.FREEWHEELING);
            }
            MidiRig rig = new MidiRig(rate, sign * DRIFT, 11);
            rig.play(Timecode.wrapped(rate, -1000), SECOND);
            rig.run(2 * SECOND, true);
            rig.run(3 * SECOND, false);
            MidiRig.Verdict first = rig.verdict();
            rig.run((long) (HOURS * 3600 * SECOND), false);
            MidiRig.Verdict day = rig.verdict();
            int lines = rig.heard.news.size();
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
            assertThat(rig.heard.turns()).containsExactly(Chase.News.LOCKED);
            assertThat(first.wrong + day.wrong).isZero();
            assertThat(lock).isLessThanOrEqualTo(10);
            assertThat(loss).isLessThanOrEqualTo(10);
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
                double lock = (rig.lastHeard() - began) / 1e9;
                rig.run((long) (HOURS * 3600 * SECOND), false);
                int lines = rig.heard.news.size();
                double worst = rig.worstNanos();
                assertThat(rig.heard.turns()).containsExactly(Chase.News.LOCKED);
                double loss = rig.stop() / 1e9;
                System.out.printf(
                        Locale.ROOT,
                        "| %-10s | %-5s | %+4.0f | %9d | %d | %5.1f | %4.1f | %4.1f | %5d |%n",
                        name,
                        isAsked ? "asked" : "told",
                        sign * DRIFT * 1e6,
                        rig.frames(),
                        rig.worstFrames(),
                        worst / 1e6,
                        lock,
                        loss,
                        lines);
                assertThat(rig.worstFrames()).isLessThanOrEqualTo(1);
                assertThat(rig.heard.turns()).containsExactly(Chase.News.LOCKED, Chase.News.FREEWHEELING);
                // The third report; and four more that would have come, until it is said. They are late, and a misread
                // one may be among them.
                assertThat(lock).isLessThanOrEqualTo(isAsked ? 4.1 : 1.1);
                assertThat(loss).isLessThanOrEqualTo(isAsked ? 8.1 : 2.1);
            }
        }
    }

    /** What comes that often is as quick as a signal, whatever chance does to it. */
    @ParameterizedTest
    @MethodSource("rates")
    void gearThatTellsEachFrameIsLockedOnAndMissedWithinTenFrames(String name) {
        double lock = 0;
        double loss = 0;
        for (int seed = 0; seed < 40; seed++) {
            ReportRig rig = new ReportRig(rate(name), DRIFT, 0, false, seed);
            rig.cue(Timecode.wrapped(rate(name), -5));
            long began = rig.now();
            rig.run(20 * SECOND, true);
            lock = Math.max(lock, (rig.lastHeard() - began) / rig.chase.frameNanos());
            rig.run(began + SECOND, false);
            loss = Math.max(loss, rig.stop() / rig.chase.frameNanos());
        }
        System.out.printf(Locale.ROOT, "| %-10s | %4.1f | %4.1f |%n", name, lock, loss);
        assertThat(lock).isLessThanOrEqualTo(10);
        assertThat(loss).isLessThanOrEqualTo(10);
    }

    private static int[] signs(String name) {
        return System.getProperty("hours") != null ? new int[] {-1, 1} : new int[] {rates().indexOf(name) % 2 * 2 - 1};
    }

    /** A time server keeps the clock, by slewing it up to 50 ppm either way: takes of up to two hours, all day. */
    @Tag("lab")
    @ParameterizedTest
    @MethodSource("rates")
    void theTimeOfDayIsRightToOneFrameWhereTheClockIsKept(String name) {
        for (int sign : signs(name)) {
            timeOfDay(name, new TimeOfDayRig(rate(name), true, sign, 11), 7_200, "kept", sign);
        }
    }

    /** Nobody keeps the clock, and a recorder that was set by it parts from it by 50 ppm: takes of up to five minutes. */
    @ParameterizedTest
    @MethodSource("rates")
    void theTimeOfDayIsRightToOneFrameInAShortTakeWhereNobodyKeepsTheClock(String name) {
        for (int sign : signs(name)) {
            timeOfDay(name, new TimeOfDayRig(rate(name), false, sign, 11), 300, "free", sign);
        }
    }

    private static void timeOfDay(String name, TimeOfDayRig rig, int seconds, String clock, int sign) {
        SplittableRandom random = new SplittableRandom(7);
        long begin = random.nextLong(86_400 * SECOND);
        long end = begin + (long) (HOURS * 3600 * SECOND);
        int takes = 0;
        while (begin < end) {
            long length = random.nextLong(10 * SECOND, seconds * SECOND);
            rig.take(begin, begin + length, (int) (length / SECOND * LOOKS_A_SECOND));
            takes++;
            begin += length + random.nextLong(5 * SECOND);
        }
        System.out.printf(
                Locale.ROOT,
                "| %-10s | %s | %+4.0f | %3d | %7d | %d |%n",
                name,
                clock,
                sign * DRIFT * 1e6,
                takes,
                rig.looks(),
                rig.worstFrames());
        assertThat(rig.looks()).isGreaterThan((long) (HOURS * 3600 * LOOKS_A_SECOND * 0.9));
        assertThat(rig.worstFrames()).isLessThanOrEqualTo(1);
    }

    private static FrameRate rate(String name) {
        return FrameRate.named(name).orElseThrow();
    }
}
