package instep.sound;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import instep.sound.Room.Recorder;
import java.io.IOException;
import java.util.List;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/** A frame of 1 kHz at 20 dB under full scale: common practice, no source. */
class TwoPopTest {
    private static List<TwoPop> found(float[] samples) throws IOException {
        TwoPop.Ear ear = new TwoPop.Ear();
        Room.heard(samples).listen(ear);
        return ear.found();
    }

    @ParameterizedTest
    @CsvSource({
        // at, frames a second, level
        "0.01, 25, -20",
        "3.4567, 24, -20",
        "3.4567, 29.97, -20",
        "8.2, 60, -20",
        "1.5, 25, -45"
    })
    void isFoundWhereItWasPut(double at, double rate, double level) throws IOException {
        float[] samples = new float[10 * Heard.RATE];
        Room.tone(samples, at, 1 / rate, 1_000, level);
        List<TwoPop> found = found(samples);
        assertThat(found).hasSize(1);
        assertThat(found.get(0).at()).isCloseTo(at, within(0.001));
        assertThat(found.get(0).seconds()).isCloseTo(1 / rate, within(0.002));
        assertThat(found.get(0).level()).isCloseTo(level, within(0.2));
    }

    @Test
    void isFoundInANoisyRoom() throws IOException {
        float[] samples = new float[10 * Heard.RATE];
        Room.tone(samples, 4, 0.04, 1_000, -26);
        java.util.Random random = new java.util.Random(5);
        for (int i = 0; i < samples.length; i++) {
            samples[i] += (float) (0.008 * random.nextGaussian());
        }
        List<TwoPop> found = found(samples);
        assertThat(found).hasSize(1);
        assertThat(found.get(0).at()).isCloseTo(4, within(0.002));
    }

    @ParameterizedTest
    @CsvSource({"1000, 1.0", "1000, 0.005", "800, 0.04", "1250, 0.04", "440, 0.04"})
    void isNoOtherTone(double pitch, double seconds) throws IOException {
        float[] samples = new float[10 * Heard.RATE];
        Room.tone(samples, 4, seconds, pitch, -20);
        assertThat(found(samples)).isEmpty();
    }

    @Test
    void isNotHeardInSpeechOrNoise() throws IOException {
        assertThat(found(new Room(7, 60).recorded(new Recorder(0, 60, 0, 1, 0.002, 3))))
                .isEmpty();
    }
}
