package instep.command;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.concurrent.TimeUnit;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** Films that FFmpeg has made of one sound, each beginning elsewhere in it, laid side by side again. */
class SyncCommandTest {
    private static final Pattern BEGINS = Pattern.compile(": begins at ([+-][0-9.]+) s \\(([+-][0-9.]+) frames\\)");
    /** Noise that comes and goes irregularly: what several pairs of slow tones leave of it. */
    private static final String ROOM =
            "aevalsrc=exprs='0.5*(random(0)-0.5)*pow(sin(2*PI*0.37*t)*sin(2*PI*1.13*t+1)*sin(2*PI*2.71*t+2),2)':s=48000:d=40";

    @TempDir
    private Path folder = Path.of("");

    private static double offset(Said said, String file) {
        Matcher found = BEGINS.matcher(said.out()
                .lines()
                .filter(line -> line.contains(file))
                .findFirst()
                .orElse(""));
        assertThat(found.find()).as(said.out() + said.err()).isTrue();
        assertThat(Double.parseDouble(found.group(2))).isCloseTo(25 * Double.parseDouble(found.group(1)), within(0.01));
        return Double.parseDouble(found.group(1));
    }

    private static Said sync(Object... words) {
        List<String> args = new ArrayList<>(List.of("sync"));
        for (Object word : words) {
            args.add(word.toString());
        }
        return Said.by(args.toArray(String[]::new));
    }

    private Path made(String name, String... arguments) throws IOException, InterruptedException {
        Path file = folder.resolve(name);
        List<String> command = new ArrayList<>(List.of("ffmpeg", "-v", "error", "-nostdin", "-y"));
        command.addAll(List.of(arguments));
        command.add(file.toString());
        Path said = folder.resolve("ffmpeg.txt");
        Process ffmpeg = new ProcessBuilder(command)
                .redirectErrorStream(true)
                .redirectOutput(said.toFile())
                .start();
        assertThat(ffmpeg.waitFor(2, TimeUnit.MINUTES)).isTrue();
        assertThat(ffmpeg.exitValue()).as(Files.readString(said)).isZero();
        return file;
    }

    private Path film(String name, Path room, double from, double seconds, String codec) throws Exception {
        return made(
                name,
                "-f",
                "lavfi",
                "-i",
                "testsrc=s=64x48:r=25",
                "-ss",
                String.format(Locale.ROOT, "%.4f", from),
                "-i",
                room.toString(),
                "-map",
                "0:v",
                "-map",
                "1:a",
                "-t",
                String.valueOf(seconds),
                "-c:v",
                "mpeg4",
                "-c:a",
                codec);
    }

    @Test
    void laysFilmsSideBySideByTheirSound() throws Exception {
        Path room = made("room.wav", "-f", "lavfi", "-i", ROOM);
        Path wide = film("wide.mov", room, 2, 36, "pcm_s16le");
        Path wheel = film("wheel.mov", room, 5.3210, 25, "pcm_s16le");
        Path hands = film("hands.mov", room, 0.5, 30, "aac");
        Said said = sync("--rate", "25", wide, wheel, hands);
        assertThat(said.err()).isEmpty();
        assertThat(said.code()).isZero();
        assertThat(offset(said, "wheel.mov")).isCloseTo(3.3210, within(0.001));
        // A coder may shift sound by some milliseconds; a frame is 40.
        assertThat(offset(said, "hands.mov")).isCloseTo(-1.5, within(0.004));
    }

    @Test
    void goesByTheTwoPopWhereNothingElseIsInCommon() throws Exception {
        Path one = made(
                "one.wav", "-f", "lavfi", "-i", "aevalsrc=exprs='0.1*sin(2*PI*1000*t)*between(t,3,3.04)':s=48000:d=9");
        Path other = made(
                "other.wav",
                "-f",
                "lavfi",
                "-i",
                "aevalsrc=exprs='0.1*sin(2*PI*1000*t)*between(t,1.2345,1.2745)+0.0005*(random(0)-0.5)':s=48000:d=9");
        Said said = sync("--rate", "25", "--least", "100", one, other);
        assertThat(said.code()).isZero();
        assertThat(said.out()).contains("two-pop at 3.000", "by the two-pops alone");
        assertThat(offset(said, "other.wav")).isCloseTo(3 - 1.2345, within(0.001));
    }

    @Test
    void refusesWhatHasNothingInCommon() throws Exception {
        Path room = made("room.wav", "-f", "lavfi", "-i", ROOM);
        Path other = made("other.wav", "-f", "lavfi", "-i", "anoisesrc=d=20:seed=3:a=0.2");
        Said said = sync(room, other);
        assertThat(said.code()).isEqualTo(1);
        assertThat(said.out()).contains("other.wav: refused; its best place is sure to ", "30 % are asked for");
    }

    /** Two rooms on the same mains: 50 Hz and some multiples, and noise of their own that comes and goes. */
    @Test
    void refusesWhatHasNothingInCommonButAHum() throws Exception {
        List<Path> rooms = new ArrayList<>();
        for (int seed = 1; seed <= 2; seed++) {
            rooms.add(made(
                    seed + ".wav",
                    "-f",
                    "lavfi",
                    "-i",
                    "aevalsrc=exprs='0.1*(sin(314.159*t)+0.5*sin(942.478*t)+0.2*sin(2199.115*t))':s=48000:d=20",
                    "-f",
                    "lavfi",
                    "-i",
                    "anoisesrc=d=20:a=0.02:r=48000:seed=" + seed,
                    "-filter_complex",
                    "[1]tremolo=f=" + (1 + 0.7 * seed) + "[n];[0][n]amix=normalize=0"));
        }
        Said said = sync(rooms.get(0), rooms.get(1));
        assertThat(said.out()).contains("2.wav: refused");
        assertThat(said.code()).isEqualTo(1);
    }

    @Test
    void namesAFileThatHasNoSoundAndOneThatIsNotThere() throws Exception {
        Path silent = made("silent.mov", "-f", "lavfi", "-i", "testsrc=s=64x48:r=25:d=1", "-c:v", "mpeg4");
        Path sound = made("sound.wav", "-f", "lavfi", "-i", "anoisesrc=d=5:seed=3:a=0.2");
        Said said = sync(sound, silent, folder.resolve("none.wav"));
        assertThat(said.code()).isEqualTo(1);
        assertThat(said.err())
                .contains(
                        "silent.mov cannot be listened to: it has no sound",
                        "none.wav cannot be listened to: it is not there")
                .doesNotContain("\tat ");
    }

    @Test
    void refusesWhatMeansNothing() {
        assertThat(sync("one.wav").code()).isEqualTo(2);
        assertThat(sync("--rate", "26", "a", "b").err()).contains("--rate 26: expected one of");
        assertThat(sync("--least", "0", "a", "b").err()).contains("--least 0: expected 1 to 100");
    }
}
