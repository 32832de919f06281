package instep.time;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

class DurationsTest {
    @ParameterizedTest
    @CsvSource({
        "8ms, 8000000",
        "1.5s, 1500000000",
        "80us, 80000",
        "2m, 120000000000",
        "1h, 3600000000000",
        "0s, 0",
        "0.001us, 1",
        "12f, 480000000",
        "12.0f, 480000000",
        "08ms, 8000000"
    })
    void readsALength(String text, long nanos) {
        assertThat(Durations.parse(text, FrameRate.R25)).isEqualTo(nanos);
    }

    // 12 frames at 30000/1001 are 12 * 1001 / 30000 s (SMPTE ST 12-1: the rate is that fraction).
    @ParameterizedTest
    @CsvSource({"29.97, 12f, 400400000", "29.97-drop, 12f, 400400000", "23.976, 1f, 41708334", "60, 1f, 16666667"})
    void countsFramesAtTheExactRate(String rate, String text, long nanos) {
        assertThat(Durations.parse(text, FrameRate.named(rate).orElseThrow())).isEqualTo(nanos);
    }

    @ParameterizedTest
    @CsvSource(delimiter = '|', textBlock = """
            8            | is no length of time
            ms           | is no length of time
            8 ms         | is no length of time
            -8ms         | is no length of time
            .5s          | is no length of time
            1e3ms        | is no length of time
            1,5s         | is no length of time
            ''           | is no length of time
            8sec         | has the unknown unit sec: use us, ms, s, m, h, or f
            1.5f         | is a part of a frame
            0.0000000001s | is finer than a nanosecond
            99999999999999h | is too long
            9999999999999f  | is too long
            """)
    void saysWhatIsWrongWithALength(String text, String why) {
        assertThatThrownBy(() -> Durations.parse(text, FrameRate.R25))
                .isInstanceOf(TimeSyntaxException.class)
                .hasMessageStartingWith("\"" + text + "\" " + why);
    }

    @ParameterizedTest
    @CsvSource({
        "0, 0 ms",
        "499, 0 ms",
        "80000, 0.08 ms",
        "6912345, 6.912 ms",
        "9999999, 10 ms",
        "76345678, 76 ms",
        "400400000, 400 ms",
        "999499999, 999 ms",
        "999500000, 1 s",
        "1668333334, 1.668 s",
        "2500000000, 2.5 s",
        "4999999975, 5 s",
        "59999499999, 59.999 s",
        "59999999975, 1 min",
        "60000000000, 1 min",
        "90400000000, 1 min 30 s",
        "3599500000000, 1 h",
        "3600000000000, 1 h",
        "3605000000000, 1 h 5 s",
        "36123400000000, 10 h 2 min 3 s",
        "86399999999975, 24 h",
        "86399400000000, 23 h 59 min 59 s",
        "172799000000000, 47 h 59 min 59 s",
        "172800000000000, 2 days",
        "179999000000000, 2 days 2 h",
        "31557600000000000, 365 days 6 h",
        "9223372036854775807, 106752 days"
    })
    void roundsALengthThatWasMeasured(long nanos, String text) {
        assertThat(Durations.rounded(nanos)).isEqualTo(text);
    }

    @ParameterizedTest
    @CsvSource({"0, 0 ms", "80000, 0.08 ms", "500000000, 500 ms", "1500000000, 1.5 s", "90500000000, 90.5 s"})
    void writesALengthAsSomebodyWroteIt(long nanos, String text) {
        assertThat(Durations.ofNanos(nanos)).isEqualTo(text);
    }

    // The form of a WebVTT timestamp (W3C WebVTT, "WebVTT timestamp"): hours only when they are not zero, three
    // decimals.
    @ParameterizedTest
    @CsvSource({
        "25, 0, 00:00.000", "25, 1, 00:00.040", "25, 1500, 01:00.000", "25, 90000, 01:00:00.000",
        "25, -112, -00:04.480", "29.97-drop, 1800, 01:00.060", "23.976, 1, 00:00.042", "60, 1, 00:00.017",
        "25, 2160000, 24:00:00.000"
    })
    void writesFramesAsTime(String rate, long frames, String text) {
        assertThat(Durations.ofFrames(frames, FrameRate.named(rate).orElseThrow()))
                .isEqualTo(text);
    }
}
