package instep.time;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvFileSource;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.EnumSource;

class TimecodeTest {
    @ParameterizedTest
    @CsvFileSource(resources = "st12-labels.csv")
    void countsAsTheReferencesDo(String rateLabel, long frame, String label) {
        FrameRate rate = rate(rateLabel);
        assertThat(new Timecode(rate, frame)).hasToString(label);
        assertThat(Timecode.parse(label, rate)).isEqualTo(new Timecode(rate, frame));
    }

    // Frames in 24 h of labels: OpenTimelineIO 0.18.1 and libltc 1.3.2, per SMPTE ST 12-1.
    @ParameterizedTest
    @CsvSource(textBlock = """
            23.976,     2073600
            24,         2073600
            25,         2160000
            29.97,      2592000
            29.97-drop, 2589408
            30,         2592000
            47.952,     4147200
            48,         4147200
            50,         4320000
            59.94,      5184000
            59.94-drop, 5178816
            60,         5184000
            """)
    void wrapsAfterADayOfLabels(String label, long frames) {
        FrameRate rate = rate(label);
        assertThat(rate.framesPerDay()).isEqualTo(frames);
        assertThat(Timecode.wrapped(rate, frames)).isEqualTo(new Timecode(rate, 0));
        assertThat(new Timecode(rate, 0).plus(-1)).isEqualTo(new Timecode(rate, frames - 1));
    }

    /** The odometer is the rule of ST 12-1 in its own words: numbers follow each other, and drop-frame leaves some out. */
    @ParameterizedTest
    @EnumSource
    void labelsEveryFrameOfADayAsAnOdometerDoes(FrameRate rate) {
        Odometer odometer = new Odometer(rate);
        StringBuilder label = new StringBuilder();
        for (long frame = 0; frame < rate.framesPerDay(); frame++) {
            label.setLength(0);
            new Timecode(rate, frame).appendTo(label);
            if (!odometer.shows(label)) {
                assertThat(label).as("frame " + frame).hasToString(odometer.toString());
            }
            if (Timecode.parse(label.toString(), rate).frame() != frame) {
                assertThat(Timecode.parse(label.toString(), rate).frame()).isEqualTo(frame);
            }
            odometer.advance();
        }
        assertThat(odometer).hasToString(new Timecode(rate, 0).toString());
    }

    @ParameterizedTest
    @CsvSource({
        "29.97-drop, 00:01:00;00",
        "29.97-drop, 00:01:00;01",
        "29.97-drop, 23:59:00.01",
        "29.97-drop, '10:11:00,00'",
        "59.94-drop, 00:01:00;00",
        "59.94-drop, 00:01:00;03",
        "59.94-drop, 12:39:00;02"
    })
    void rejectsALabelThatDropFrameCountingSkips(String rateLabel, String label) {
        assertThatThrownBy(() -> Timecode.parse(label, rate(rateLabel)))
                .isInstanceOf(TimeSyntaxException.class)
                .hasMessageContaining(label)
                .hasMessageContaining("skips frames 00 to 0")
                .hasMessageContaining("the first label of this minute is " + label.substring(0, 6) + "00;0");
    }

    @ParameterizedTest
    @CsvSource({"29.97-drop, 00:10:00;00", "29.97-drop, 00:01:00;02", "59.94-drop, 00:01:00;04", "29.97, 00:01:00:00"})
    void takesTheLabelsBesideThoseThatAreSkipped(String rateLabel, String label) {
        assertThat(Timecode.parse(label, rate(rateLabel))).hasToString(label);
    }

    // The separators in use: edit lists with fields, and the output of general-purpose tools (common practice, no
    // source).
    @ParameterizedTest
    @CsvSource({"10:00:00;05", "'10:00:00,05'", "10:00:00.05"})
    void readsEachSeparatorOfDropFrame(String label) {
        assertThat(Timecode.parse(label, FrameRate.R29_97_DROP)).hasToString("10:00:00;05");
    }

    @ParameterizedTest
    @CsvSource(delimiter = '|', textBlock = """
            29.97-drop | 10:00:00:05  | is drop-frame: write 10:00:00;05
            25         | 10:00:00;05  | is not drop-frame: write 10:00:00:05
            25         | 10:00:00.05  | is not drop-frame: write 10:00:00:05
            25         | 10;00:00:05  | needs a colon after the hours
            25         | 10:00.00:05  | needs a colon after the hours
            25         | 24:00:00:00  | 24 hours: at 25 they go from 00 to 23
            25         | 10:60:00:00  | 60 minutes: at 25 they go from 00 to 59
            25         | 10:00:75:00  | 75 seconds: at 25 they go from 00 to 59
            25         | 10:00:00:25  | 25 frames: at 25 they go from 00 to 24
            50         | 10:00:00:50  | 50 frames: at 50 they go from 00 to 49
            25         | 1:00:00:00   | is no timecode
            25         | 10:00:00     | is no timecode
            25         | 10:00:00:000 | is no timecode
            25         | -1:00:00:00  | is no timecode
            25         | 10x00y00z0a  | is no timecode
            25         | ١٠:00:00:00  | is no timecode
            25         | ''           | is no timecode
            """)
    void saysWhatIsWrongWithALabel(String rateLabel, String label, String why) {
        assertThatThrownBy(() -> Timecode.parse(label, rate(rateLabel)))
                .isInstanceOf(TimeSyntaxException.class)
                .hasMessageContaining("\"" + label + "\"")
                .hasMessageContaining(why);
    }

    @Test
    void refusesAFrameOutsideTheDay() {
        assertThatThrownBy(() -> new Timecode(FrameRate.R25, 2_160_000)).hasMessageContaining("outside a day at 25");
        assertThatThrownBy(() -> new Timecode(FrameRate.R25, -1)).hasMessageContaining("outside a day at 25");
    }

    private static FrameRate rate(String label) {
        return FrameRate.named(label).orElseThrow();
    }

    private static final class Odometer {
        private final FrameRate rate;
        private int hours;
        private int minutes;
        private int seconds;
        private int frames;

        Odometer(FrameRate rate) {
            this.rate = rate;
        }

        void advance() {
            frames++;
            if (frames < rate.counted()) {
                return;
            }
            frames = 0;
            seconds = (seconds + 1) % 60;
            if (seconds > 0) {
                return;
            }
            minutes = (minutes + 1) % 60;
            hours = minutes > 0 ? hours : (hours + 1) % 24;
            frames = minutes % 10 == 0 ? 0 : rate.dropped();
        }

        boolean shows(CharSequence label) {
            return number(label, 0) == hours
                    && number(label, 3) == minutes
                    && number(label, 6) == seconds
                    && number(label, 9) == frames;
        }

        private static int number(CharSequence label, int at) {
            return (label.charAt(at) - '0') * 10 + label.charAt(at + 1) - '0';
        }

        @Override
        public String toString() {
            return "%02d:%02d:%02d%s%02d".formatted(hours, minutes, seconds, rate.isDropFrame() ? ";" : ":", frames);
        }
    }
}
