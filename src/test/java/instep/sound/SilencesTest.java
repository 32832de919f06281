package instep.sound;

import static org.assertj.core.api.Assertions.assertThat;

import instep.sound.Silences.Silence;
import java.io.IOException;
import java.util.List;
import org.junit.jupiter.api.Test;

class SilencesTest {
    private static final long MILLISECOND = 1_000_000L;

    /** A tone with a hole of each length, in milliseconds, at each second; all below the level of the hole is silence. */
    private static float[] tone(double level, double hole, int... lengths) {
        float[] samples = new float[(lengths.length + 1) * Heard.RATE];
        Room.tone(samples, 0, lengths.length + 1, 500, level);
        for (int second = 0; second < lengths.length; second++) {
            for (int i = 0; i < lengths[second] * Heard.RATE / 1_000; i++) {
                samples[(second + 1) * Heard.RATE + i] *= (float) Math.pow(10, (hole - level) / 20);
            }
        }
        return samples;
    }

    private static List<Silence> found(float[] samples, double below, long shortest) throws IOException {
        Silences ear = new Silences(below, shortest * MILLISECOND);
        Room.heard(samples).listen(ear);
        return ear.found();
    }

    @Test
    void findsPausesThatLastLongEnough() throws IOException {
        assertThat(found(tone(-20, -60, 300, 100, 150), -40, 150))
                .containsExactly(
                        new Silence(1_000 * MILLISECOND, 1_300 * MILLISECOND),
                        new Silence(3_000 * MILLISECOND, 3_150 * MILLISECOND));
    }

    @Test
    void levelsAreThoseOfTheRootMeanSquareUnderFullScale() throws IOException {
        // A sine has 3.01 dB less than its peak.
        assertThat(found(tone(-20, -36.8, 300), -40, 100)).isEmpty();
        assertThat(found(tone(-20, -37.2, 300), -40, 100)).hasSize(1);
    }

    @Test
    void aPauseMayLastToTheEnd() throws IOException {
        assertThat(found(new float[Heard.RATE], -40, 100)).containsExactly(new Silence(0, 1_000 * MILLISECOND));
        assertThat(found(new float[0], -40, 100)).isEmpty();
    }

    @Test
    void readsWhereABroadcastWaveFileBegins() {
        assertThat(SoundStart.parse("sample_rate=48000\nTAG:time_reference=1728024000\n"))
                .isEqualTo(new SoundStart("", 36_000_500 * MILLISECOND));
        assertThat(SoundStart.parse("sample_rate=48000\nTAG:timecode=10:00:00:12\n"))
                .isEqualTo(new SoundStart("10:00:00:12", -1));
        assertThat(SoundStart.parse("sample_rate=0\nTAG:time_reference=7\n")).isEqualTo(new SoundStart("", -1));
    }
}
