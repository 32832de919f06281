package instep.config;

import static org.assertj.core.api.Assertions.assertThat;

import instep.clock.PcmFormat;
import instep.input.DeviceMatch;
import instep.time.FrameRate;
import java.nio.file.Path;
import java.util.List;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.MethodSource;

class TimecodeReaderTest {
    static List<String> rates() {
        return FrameRate.labels();
    }

    @ParameterizedTest
    @MethodSource("rates")
    void takesEveryRateWithoutQuotationMarks(String rate) throws ConfigException {
        assertThat(read("rate: " + rate).rate().label()).isEqualTo(rate);
    }

    /** Labels and frames of drop-frame counting: SMPTE ST 12-1, and the same from OpenTimelineIO 0.18.1. */
    @ParameterizedTest
    @CsvSource({
        "29.97-drop,00:01:00;02,1800",
        "29.97-drop,00:10:00;00,17982",
        "29.97-drop,00:11:00;02,19782",
        "29.97-drop,01:00:00;00,107892",
        "29.97-drop,23:59:59;29,2589407",
        "59.94-drop,00:01:00;04,3600",
        "59.94-drop,23:59:59;59,5178815",
        "29.97,01:00:00:00,108000",
        "25,00:01:12:00,1800",
    })
    void readsTheStart(String rate, String label, long frame) throws ConfigException {
        TimecodeSettings timecode = read("rate: " + rate + ", source: count-up, start: " + label);
        assertThat(timecode.start().frame()).isEqualTo(frame);
        assertThat(timecode.start()).hasToString(label);
    }

    /** Common practice, no source: programmes start at hour one. */
    @ParameterizedTest
    @CsvSource({"25,01:00:00:00", "29.97-drop,01:00:00;00"})
    void countsUpFromHourOneUnlessToldOtherwise(String rate, String label) throws ConfigException {
        assertThat(read("rate: " + rate + ", source: count-up").start()).hasToString(label);
    }

    /** Frames of a freewheel are those of the rate that stands beside it, and the pipe stands in the folder of the file. */
    @Test
    void readsWhereLinearTimecodeComesIn() throws ConfigException {
        LtcSettings ltc = ConfigReader.read(Path.of("src/test/resources/config/good/ltc.yaml"), TestKeys.CODES)
                .timecode()
                .ltc();
        assertThat(ltc)
                .isEqualTo(new LtcSettings(
                        Path.of("src/test/resources/config/good/ltc.pcm"),
                        new PcmFormat(96_000, 24, 2, 2),
                        2_000_000_000L));
        assertThat(read("rate: 25, source: ltc, pcm: /run/instep/ltc.pcm").ltc())
                .isEqualTo(new LtcSettings(
                        Path.of("/run/instep/ltc.pcm"), new PcmFormat(48_000, 16, 1, 1), 2_000_000_000L));
        assertThat(read("rate: 25").ltc()).isNull();
    }

    @Test
    void readsWhereMidiTimecodeComesIn() throws ConfigException {
        TimecodeSettings timecode = good("mtc.yaml");
        assertThat(timecode.midi())
                .isEqualTo(new MidiTimecodeSettings(
                        new DeviceMatch(null, "*Clock*", null, null, null, 1), 1_500_000_000L));
        assertThat(timecode.ltc()).isNull();
        assertThat(timecode.events()).contains("timecode.locked");
    }

    @Test
    void readsWhoseTimecodeCounts() throws ConfigException {
        assertThat(good("timecode-of-gear.yaml").reported())
                .isEqualTo(new ReportedTimecodeSettings("recorder", 10_000_000_000L));
    }

    private static TimecodeSettings good(String file) throws ConfigException {
        return ConfigReader.read(Path.of("src/test/resources/config/good").resolve(file), TestKeys.CODES)
                .timecode();
    }

    private static TimecodeSettings read(String fields) throws ConfigException {
        String text = "instep: 1\ntimecode: { " + fields + " }\nmachine: { states: { standby: } }\n";
        return ConfigReader.parse("f", text, TestKeys.CODES).timecode();
    }
}
