package instep.edit;

import static org.assertj.core.api.Assertions.assertThat;

import instep.cutlist.Clip;
import instep.cutlist.Layout;
import instep.cutlist.Media;
import instep.cutlist.Refined;
import instep.cutlist.Sound;
import instep.cutlist.Source;
import instep.cutlist.Timeline;
import instep.reference.Installed;
import instep.time.FrameRate;
import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.EnumSource;

/**
 * FFmpeg cuts by the script, and each frame of the result is the one that the timeline says: the files' pictures hold a grey of their angle and their own number in bits. Where FFmpeg is not
 * installed, this is left out.
 */
class ConcatFramesTest {
    private static final int WIDTH = 64;
    private static final int HEIGHT = 32;
    private static final Map<String, Integer> GREYS = Map.of("wide", 40, "wheel", 120, "hands", 200);

    @TempDir
    private Path folder = Path.of("");

    @ParameterizedTest
    @EnumSource(
            value = FrameRate.class,
            names = {"R25", "R29_97_DROP", "R50"})
    void everyFrameIsTheOneThatTheTimelineSays(FrameRate rate) throws Exception {
        Installed.program("ffmpeg", "ffmpeg");
        for (String angle : GREYS.keySet()) {
            record(angle, rate);
        }
        Layout layout = new Layout(rate, 0, 0, Media.PROXY, Sound.NONE);
        Refined refined = Refined.of(Timelines.lesson(), Timelines.retakes(Timelines.DROP));
        Timeline timeline =
                Timeline.of("Lesson", refined, layout, angle -> new Source(angle, angle, angle + ".mov", ""));
        Path script = folder.resolve("lesson.ffconcat");
        Files.writeString(
                script, Format.FFCONCAT.write(timeline).documents().get(0).text());
        run("-f", "concat", "-safe", "0", "-i", script.toString(), "-f", "rawvideo", "-pix_fmt", "gray", "out.raw");
        assertThat(frames(Files.readAllBytes(folder.resolve("out.raw")))).isEqualTo(expected(timeline));
    }

    private static List<String> expected(Timeline timeline) {
        List<String> frames = new ArrayList<>();
        for (Clip clip : timeline.clips()) {
            for (long frame = clip.in(); frame < clip.out(); frame++) {
                frames.add(
                        clip.source().angle() + " " + (frame - timeline.take().in()));
            }
        }
        return frames;
    }

    /** A file that begins with the take; every frame of it is a key frame. */
    private void record(String angle, FrameRate rate) throws IOException, InterruptedException {
        String picture = "nullsrc=s=" + WIDTH + "x" + HEIGHT + ":r=" + rate.numerator() + "/" + rate.denominator()
                + ",trim=end_frame=260,geq=lum='if(lt(X,16)," + GREYS.get(angle)
                + ",mod(floor(N/pow(2,floor((X-16)/4))),2)*200+20)':cb=128:cr=128";
        run("-f", "lavfi", "-i", picture, "-c:v", "mjpeg", "-q:v", "2", "-pix_fmt", "yuvj420p", angle + ".mov");
    }

    private static List<String> frames(byte[] grey) {
        List<String> frames = new ArrayList<>();
        for (int at = 0; at + WIDTH * HEIGHT <= grey.length; at += WIDTH * HEIGHT) {
            int row = at + HEIGHT / 2 * WIDTH;
            int shade = grey[row + 8] & 255;
            String angle = GREYS.keySet().stream()
                    .filter(name -> Math.abs(GREYS.getOrDefault(name, 0) - shade) < 20)
                    .findFirst()
                    .orElse("none");
            int number = 0;
            for (int bit = 0; bit < 12; bit++) {
                number |= (grey[row + 16 + 4 * bit + 2] & 255) > 120 ? 1 << bit : 0;
            }
            frames.add(angle + " " + number);
        }
        return frames;
    }

    private void run(String... arguments) throws IOException, InterruptedException {
        List<String> command = new ArrayList<>(List.of("ffmpeg", "-v", "error", "-nostdin", "-y"));
        command.addAll(List.of(arguments));
        Process ffmpeg = new ProcessBuilder(command)
                .directory(folder.toFile())
                .redirectErrorStream(true)
                .start();
        String said = new String(ffmpeg.getInputStream().readAllBytes(), StandardCharsets.UTF_8);
        assertThat(ffmpeg.waitFor()).as(said).isZero();
    }
}
