package instep.time;

import static org.assertj.core.api.Assertions.assertThat;

import java.math.BigInteger;
import net.jqwik.api.ForAll;
import net.jqwik.api.Property;
import net.jqwik.api.constraints.LongRange;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

class FrameRateTest {
    private static final long THIRTY_DAYS = 30L * 86_400 * 1_000_000_000;
    private static final long FRAMES = 30L * 86_400 * 60;
    private static final BigInteger NANOS = BigInteger.valueOf(1_000_000_000);

    @Property
    void findsTheFrameThatExactArithmeticFinds(
            @ForAll FrameRate rate, @ForAll @LongRange(min = -THIRTY_DAYS, max = THIRTY_DAYS) long nanos) {
        BigInteger[] exact = BigInteger.valueOf(nanos)
                .multiply(BigInteger.valueOf(rate.numerator()))
                .divideAndRemainder(BigInteger.valueOf(rate.denominator()).multiply(NANOS));
        long floor = exact[0].longValueExact() - (exact[1].signum() < 0 ? 1 : 0);
        assertThat(rate.frameAt(nanos)).isEqualTo(floor);
    }

    @Property
    void findsTheFirstNanosecondOfAFrame(
            @ForAll FrameRate rate, @ForAll @LongRange(min = -FRAMES, max = FRAMES) long frame) {
        long nanos = rate.nanosAt(frame);
        assertThat(rate.frameAt(nanos)).isEqualTo(frame);
        assertThat(rate.frameAt(nanos - 1)).isEqualTo(frame - 1);
    }

    @Property
    void neverGoesBack(
            @ForAll FrameRate rate,
            @ForAll @LongRange(min = -THIRTY_DAYS, max = THIRTY_DAYS) long nanos,
            @ForAll @LongRange(min = 0, max = 2_000_000_000) long more) {
        assertThat(rate.frameAt(nanos + more)).isGreaterThanOrEqualTo(rate.frameAt(nanos));
    }

    /** Each frame is within a nanosecond of the rate's length, so nothing can add up. */
    @Property
    void doesNotDriftOverThirtyDays(@ForAll FrameRate rate, @ForAll @LongRange(min = 0, max = FRAMES) long frame) {
        BigInteger exactTimesNumerator = BigInteger.valueOf(frame)
                .multiply(BigInteger.valueOf(rate.denominator()))
                .multiply(NANOS);
        BigInteger error = BigInteger.valueOf(rate.nanosAt(frame))
                .multiply(BigInteger.valueOf(rate.numerator()))
                .subtract(exactTimesNumerator);
        assertThat(error).isBetween(BigInteger.ZERO, BigInteger.valueOf(rate.numerator() - 1));
    }

    // Real length of the label 01:00:00:00 by SMPTE ST 12-1's rates: 3603.6 s without drop, 3599.9964 s with.
    @ParameterizedTest
    @CsvSource({
        "23.976, 3603600000000", "24, 3600000000000", "25, 3600000000000", "29.97, 3603600000000",
        "29.97-drop, 3599996400000", "59.94, 3603600000000", "59.94-drop, 3599996400000", "60, 3600000000000"
    })
    void knowsHowLongALabelledHourIs(String label, long nanos) {
        FrameRate rate = FrameRate.named(label).orElseThrow();
        long frame = Timecode.parse(rate.isDropFrame() ? "01:00:00;00" : "01:00:00:00", rate)
                .frame();
        assertThat(rate.nanosAt(frame)).isEqualTo(nanos);
    }

    @Test
    void anotherNameIsNoRate() {
        assertThat(FrameRate.named("29.98")).isEmpty();
        assertThat(FrameRate.labels()).hasSize(12).contains("29.97-drop");
    }

    @Property
    void aLineFindsItsWayBack(
            @ForAll FrameRate rate,
            @ForAll long anchor,
            @ForAll @LongRange(min = 0, max = 2_000_000) long first,
            @ForAll @LongRange(min = -FRAMES, max = FRAMES) long frame) {
        TimecodeLine line = new TimecodeLine(rate, anchor, first);
        assertThat(line.frameAt(line.nanosAt(frame))).isEqualTo(frame);
        assertThat(line.frameAt(line.nanosAt(frame) - 1)).isEqualTo(frame - 1);
        assertThat(line.frameAt(anchor)).isEqualTo(first);
    }
}
