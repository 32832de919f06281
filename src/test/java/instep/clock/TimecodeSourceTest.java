package instep.clock;

import static org.assertj.core.api.Assertions.assertThat;

import instep.time.FrameRate;
import instep.time.Timecode;
import instep.time.TimecodeLine;
import java.time.Instant;
import java.time.LocalTime;
import java.time.ZoneId;
import java.time.ZoneOffset;
import net.jqwik.api.ForAll;
import net.jqwik.api.Property;
import net.jqwik.api.constraints.LongRange;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

class TimecodeSourceTest {
    private static final long SECOND = 1_000_000_000L;
    private static final long MONO = 5_000 * SECOND;
    private static final long TWO_DAYS = 2 * 86_400 * SECOND;

    @ParameterizedTest
    @CsvSource({
        "25, 10:00:12.28, 10:00:12:07", "25, 10:00:12.279999999, 10:00:12:06", "24, 00:00:00, 00:00:00:00",
        "50, 23:59:59.999999999, 23:59:59:49", "23.976, 10:00:12.5, 10:00:12:11", "29.97, 10:00:12.5, 10:00:12:14",
        "29.97-drop, 10:00:12.5, 10:00:12;14", "29.97-drop, 10:10:00, 10:10:00;00",
                "29.97-drop, 10:11:00.01, 10:11:00;02",
        "59.94-drop, 10:11:00, 10:11:00;04", "59.94-drop, 23:59:59.999, 23:59:59;59"
    })
    void showsTheTimeOfDayWhereTheLineIsDrawn(String rateLabel, LocalTime wall, String label) {
        TimecodeLine line = timeOfDay(rateLabel).lineThrough(MONO, wall);
        assertThat(line.at(MONO)).hasToString(label);
    }

    /**
     * How far the label has gone from the clock after some hours: 1,000 seconds' labels take 1,001 s, which makes 3.6 s an hour; where drop-frame counting leaves out 108 (216) labels an hour, 86.4 ms a
     * day remain, 2.6 (5.2) frames (SMPTE ST 12-1; 24 h of its 2,589,408 labels last 86,399.9136 s).
     */
    @ParameterizedTest
    @CsvSource({
        "23.976, 1, 10:59:56:09", "29.97, 1, 10:59:56:12", "47.952, 1, 10:59:56:19", "59.94, 1, 10:59:56:24",
        "29.97, 24, 09:58:33:20", "29.97-drop, 24, 10:00:00;02", "59.94-drop, 24, 10:00:00;05", "25, 24, 10:00:00:00"
    })
    void partsFromTheClockAsItsRateHasIt(String rateLabel, int hours, String label) {
        TimecodeLine line = timeOfDay(rateLabel).lineThrough(MONO, LocalTime.of(10, 0));
        assertThat(line.at(MONO + hours * 3_600L * SECOND)).hasToString(label);
    }

    @Test
    void takesTheTimeOfDayOfItsZone() {
        long wall = Instant.parse("2026-07-01T08:00:00.2Z").getEpochSecond() * SECOND + 200_000_000L;
        TimecodeSource source = new TimeOfDay(FrameRate.R25, ZoneId.of("Europe/Vienna"), mono -> wall + (mono - MONO));
        assertThat(source.lineThrough(MONO).at(MONO)).hasToString("10:00:00:05");
    }

    /** At a whole rate each label begins exactly with its share of the second, wherever in a frame the line was drawn. */
    @Property
    void staysWithTheWallClockAtAWholeRate(
            @ForAll @LongRange(min = 0, max = 86_399_999_999_999L) long drawn,
            @ForAll @LongRange(min = 0, max = TWO_DAYS) long later) {
        for (FrameRate rate :
                new FrameRate[] {FrameRate.R24, FrameRate.R25, FrameRate.R30, FrameRate.R48, FrameRate.R60}) {
            TimecodeLine line = timeOfDay(rate.label()).lineThrough(MONO, LocalTime.ofNanoOfDay(drawn));
            assertThat(line.at(MONO + later)).isEqualTo(Timecode.wrapped(rate, rate.frameAt(drawn + later)));
        }
    }

    /** Where labels are skipped, the label is ahead by as many; at no rate is it further off than that and the frame that runs. */
    @Property
    void theLabelIsTheTimeOfDayToTheFrame(
            @ForAll FrameRate rate, @ForAll @LongRange(min = 0, max = 86_399_999_999_999L) long drawn) {
        String label = timeOfDay(rate.label())
                .lineThrough(MONO, LocalTime.ofNanoOfDay(drawn))
                .at(MONO)
                .toString();
        long frameNanos = SECOND / rate.counted();
        long shown = LocalTime.parse(label.substring(0, 8)).toNanoOfDay()
                + Integer.parseInt(label.substring(9)) * frameNanos;
        assertThat(shown - drawn).isBetween(-frameNanos * 11 / 10 - rate.counted(), rate.dropped() * frameNanos);
    }

    @Test
    void aSetClockDoesNotMoveALineThatIsDrawn() {
        long[] wall = {10 * 3_600 * SECOND};
        TimeOfDay source = new TimeOfDay(FrameRate.R25, ZoneOffset.UTC, mono -> wall[0] + mono - MONO);
        TimecodeLine take = source.lineThrough(MONO);
        wall[0] += 3_600 * SECOND;
        assertThat(take.at(MONO + 4 * SECOND)).hasToString("10:00:04:00");
        assertThat(source.lineThrough(MONO).at(MONO)).hasToString("11:00:00:00");
    }

    @Test
    void countsUpFromItsFirstLabel() {
        CountUp source = new CountUp(Timecode.parse("01:00:00:00", FrameRate.R25));
        TimecodeLine line = source.lineThrough(MONO);
        assertThat(line.at(MONO)).hasToString("01:00:00:00");
        assertThat(line.at(MONO - 1)).hasToString("00:59:59:24");
        assertThat(line.at(MONO + 61 * SECOND)).hasToString("01:01:01:00");
    }

    @Test
    void theWallClockIsHeldUntilItIsMeasuredAgain() {
        long[] mono = {MONO};
        long[] wall = {1_000 * SECOND};
        WallClock clock = new WallClock(() -> mono[0], () -> wall[0]);
        wall[0] += 3_600 * SECOND;
        assertThat(clock.wallAt(MONO + 7)).isEqualTo(1_000 * SECOND + 7);
        assertThat(clock.measure(MONO + 5, 1_000)).isEqualTo(3_600 * SECOND);
        assertThat(clock.wallAt(MONO + 5)).isEqualTo(4_600 * SECOND + 5);
        assertThat(clock.wallAt(MONO + 4)).isEqualTo(1_000 * SECOND + 4);
        wall[0] += 999;
        assertThat(clock.measure(MONO + 9, 1_000)).isZero();
        assertThat(clock.wallAt(MONO + 9)).isEqualTo(4_600 * SECOND + 9);
    }

    /** The second pair of readings was torn apart by 10 ms, the third lies close together. */
    @Test
    void theClosestReadingsCount() {
        long[] widths = {4_000, 10_000_000, 200, 4_000, 4_000};
        int[] call = {0};
        long[] mono = {0};
        WallClock clock = new WallClock(
                () -> {
                    mono[0] += call[0] % 2 == 1 ? widths[call[0] / 2] : 0;
                    call[0]++;
                    return mono[0];
                },
                () -> mono[0] + 50 * SECOND);
        assertThat(clock.wallAt(0)).isEqualTo(50 * SECOND - 100);
    }

    private static TimeOfDay timeOfDay(String rateLabel) {
        return new TimeOfDay(FrameRate.named(rateLabel).orElseThrow(), ZoneOffset.UTC, mono -> mono);
    }
}
