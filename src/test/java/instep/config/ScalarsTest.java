package instep.config;

import static org.assertj.core.api.Assertions.assertThat;

import instep.config.Node.Scalar;
import instep.machine.Place;
import instep.time.FrameRate;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;

class ScalarsTest {
    /** The examples of YAML 1.2.2, section 10.3.2, "Core Schema". */
    @ParameterizedTest
    @CsvSource({"0,0", "-19,-19", "+12,12", "0x3A,58"})
    void takesWholeNumbersOfTheCoreSchema(String text, long value) {
        assertThat(Scalars.integer(plain(text)).orElseThrow().longValue()).isEqualTo(value);
    }

    /** The examples of YAML 1.2.2, section 10.3.2, "Core Schema". */
    @ParameterizedTest
    @CsvSource({"0.,0", ".5,0.5", "+12e03,12000", "-2E+05,-200000"})
    void takesFractionsOfTheCoreSchema(String text, double value) {
        assertThat(Scalars.number(plain(text)).orElseThrow().doubleValue()).isEqualTo(value);
    }

    @ParameterizedTest
    @ValueSource(strings = {"01:00:00:00", "1:30", "1_000", "12e", "0b1", "1.2.3", "", "KEY_A"})
    void leavesTextWhatOlderYamlTakesForANumber(String text) {
        assertThat(Scalars.number(plain(text))).isEmpty();
    }

    @Test
    void leavesTextWhatStandsInQuotationMarks() {
        Scalar quoted = new Scalar(new Place("f", 1, 1), "1", false);
        assertThat(Scalars.integer(quoted)).isEmpty();
    }

    @ParameterizedTest
    @ValueSource(strings = {"yes", "No", "on", "OFF", "y"})
    void refusesTheBooleansOfOlderYaml(String text) {
        Faults faults = new Faults(new SourceText("f", text));
        new Scalars(faults, FrameRate.R25).flag(plain(text), false);
        assertThat(faults.inOrder().get(0).text()).startsWith("expected true or false, found \"" + text + "\"");
    }

    @ParameterizedTest
    @CsvSource({
        "8ms,25,8000000",
        "1.5s,25,1500000000",
        "2m,25,120000000000",
        "0ms,25,0",
        "12f,25,480000000",
        "30000f,29.97,1001000000000",
        "60000f,59.94-drop,1001000000000",
    })
    void readsDurations(String text, String rate, long nanos) {
        assertThat(DurationText.nanos(text, FrameRate.named(rate).orElseThrow()))
                .hasValue(nanos);
    }

    @ParameterizedTest
    @ValueSource(strings = {"8", "ms", "-8ms", "1.5f", "25h", "1441m", "8 m s", "999999999s", "1e3s"})
    void takesNothingElseForADuration(String text) {
        assertThat(DurationText.nanos(text, FrameRate.R25)).isEmpty();
    }

    private static Scalar plain(String text) {
        return new Scalar(new Place("f", 1, 1), text, true);
    }
}
