package instep.gear;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Locale;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** The samples of a tone, measured by FFmpeg (Debian) and by arithmetic. */
class ToneTest {
    private static final Payload.Tone POP = new Payload.Tone(1_000, 40_000_000, -20);

    @TempDir
    Path folder;

    /** A frame at 25 frames a second is 1,920 samples at 48 kHz, which a 1 kHz sine crosses upwards 40 times. */
    @Test
    void oneFrameOfOneKilohertzHasFortyPeriods() {
        byte[] samples = Tone.samples(POP);

        assertThat(samples).hasSize(2 * 1_920);
        int upwards = 0;
        for (int i = 0; i < 1_919; i++) {
            upwards += sample(samples, i) <= 0 && sample(samples, i + 1) > 0 ? 1 : 0;
        }
        assertThat(upwards).isEqualTo(40);
        assertThat(sample(samples, 0)).isZero();
    }

    private static int sample(byte[] samples, int at) {
        return (samples[2 * at] & 0xff) | samples[2 * at + 1] << 8;
    }

    /** FFmpeg's astats: the peak against full scale; the RMS of a sine lies 3.01 dB below its peak. */
    @Test
    void liesTwentyDecibelsBelowFullScaleAsFfmpegMeasuresIt() throws Exception {
        Path sound = Files.write(folder.resolve("tone.raw"), Tone.samples(POP));

        String measured = astats(sound);

        assertThat(value(measured, "Peak level dB")).isCloseTo(-20, within(0.02));
        assertThat(value(measured, "RMS level dB")).isCloseTo(-23.01, within(0.02));
        assertThat(value(measured, "DC offset")).isCloseTo(0, within(1e-4));
    }

    private static String astats(Path sound) throws IOException, InterruptedException {
        Process ffmpeg = new ProcessBuilder(
                        "ffmpeg",
                        "-hide_banner",
                        "-nostdin",
                        "-f",
                        "s16le",
                        "-ar",
                        "48000",
                        "-ac",
                        "1",
                        "-i",
                        sound.toString(),
                        "-af",
                        "astats",
                        "-f",
                        "null",
                        "-")
                .redirectErrorStream(true)
                .start();
        String said = new String(ffmpeg.getInputStream().readAllBytes(), StandardCharsets.UTF_8);
        assertThat(ffmpeg.waitFor()).as(said).isZero();
        return said;
    }

    private static double value(String measured, String what) {
        Matcher value = Pattern.compile(what + ": (-?[0-9.]+)").matcher(measured);
        assertThat(value.find())
                .as(what.toLowerCase(Locale.ROOT) + " in " + measured)
                .isTrue();
        return Double.parseDouble(value.group(1));
    }
}
