package instep.command;

import static org.assertj.core.api.Assertions.assertThat;

import instep.command.MadeLesson.Shot;
import instep.media.CodedFilm;
import instep.media.Filmed;
import instep.time.FrameRate;
import instep.time.Timecode;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.stream.LongStream;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/**
 * The whole way: a performance through the daemon, its journal, films of four cameras whose every picture tells what the camera saw at which frame of the journal's timecode, match, cut list,
 * rough cut; and each frame of the result is the one that the cut list says. The films are made and read by FFmpeg (Debian's package).
 */
@Tag("lab")
class MadeMediaTest {
    @TempDir
    private Path folder = Path.of("");

    private FrameRate rate = FrameRate.R25;
    private MadeLesson lesson = new MadeLesson(folder, rate);

    @ParameterizedTest
    @CsvSource({"R25, source: time-of-day, original", "R29_97_DROP, 'source: count-up, start: \"10:00:56;10\"', proxy"})
    void everyFrameIsTheOneThatTheCutListSays(FrameRate at, String source, String prefer) throws Exception {
        rate = at;
        lesson = new MadeLesson(folder, rate);
        lesson.perform(source);
        List<Shot> first = lesson.shots(1, MadeLesson.REFINED);
        List<Shot> second = lesson.shots(2, MadeLesson.REFINED);
        assertThat(first).extracting(Shot::camera).containsExactly(0, 1, 0, 2, 3, 2, 0);
        lesson.record(first, second);

        Said match = lesson.instep(0, "match", lesson.path("cards"), "--write", lesson.path("media.yaml"));
        assertThat(match.out().lines().filter(line -> line.contains("wide")).toList())
                .allMatch(line -> line.contains("100.0 %"));
        assertThat(match.out())
                .contains("WIDE_torn.mov cannot be read")
                .contains("WIDE_other.mov runs at")
                .contains("WIDE_night.mov was recorded when there was no take")
                .contains("GLAZE_1 copy.mp4 shows nothing that is not in");

        List<Shot> all = new ArrayList<>(first);
        all.addAll(second);
        String[] media = MadeLesson.with(MadeLesson.REFINED, "--media", lesson.path("media.yaml"));
        boolean through = prefer.equals("proxy");
        String[] sound = through ? MadeLesson.with(media, "--sound", "wheel") : media;
        Path film = folder.resolve(through ? "rough.mkv" : "rough.mp4");
        lesson.instep(0, "roughcut", MadeLesson.with(sound, "--prefer", prefer, "--output", film.toString()));
        assertThat(CodedFilm.read(film)).isEqualTo(MadeLesson.expected(all));
        hears(film, all, through ? 1 : -1);

        listsNameTheFilesAndTheirTimecode(first, media);
    }

    /** Each shot is long enough to tell in its middle whose sound it has. */
    private void hears(Path film, List<Shot> shots, int always) throws Exception {
        short[] samples = CodedFilm.samples(film);
        long frame = 0;
        for (Shot shot : shots) {
            long middle = frame * 2 + shot.frames();
            int at = (int) (middle * 48_000 * rate.denominator() / rate.numerator() / 2);
            assertThat(CodedFilm.loudest(samples, at - 2_000, 4_000))
                    .as("%s in %s", shot, film)
                    .isEqualTo(always < 0 ? shot.camera() : always);
            frame += shot.frames();
        }
        long length = frame * 48_000 * rate.denominator() / rate.numerator();
        // AAC comes in blocks of 1024 samples (ISO/IEC 14496-3).
        assertThat(samples.length / 2L).isBetween(length - 1_024, length + 2_048);
    }

    /** An edit decision list over the files: each event's source timecode is the file's own; and FFmpeg's script gives the same frames where all are key frames. */
    private void listsNameTheFilesAndTheirTimecode(List<Shot> first, String[] media) throws Exception {
        lesson.instep(
                0,
                "cutlist",
                MadeLesson.with(
                        media, "--take", "1", "--write", lesson.path("a.edl") + "," + lesson.path("a.ffconcat")));
        List<String> events = Files.readAllLines(folder.resolve("a.edl")).stream()
                .filter(line -> line.matches("[0-9]{3}  .*"))
                .toList();
        List<String> told = new ArrayList<>();
        for (String event : events) {
            String[] words = event.split(" +", -1);
            // Reels of eight characters: two that begin alike are told apart.
            int camera = List.of("WIDE", "WHEEL_CA", "WHEEL_C2", "GLAZE").indexOf(words[1]);
            long in = Timecode.parse(words[4], rate).frame() - (camera == 3 ? MadeLesson.AHEAD : 0);
            long out = Timecode.parse(words[5], rate).frame() - (camera == 3 ? MadeLesson.AHEAD : 0);
            LongStream.range(in, out).forEach(frame -> told.add(camera + " " + frame % CodedFilm.NUMBERS));
        }
        assertThat(told).isEqualTo(MadeLesson.expected(first));
        Filmed.ffmpeg(
                folder,
                "-f",
                "concat",
                "-safe",
                "0",
                "-i",
                lesson.path("a.ffconcat"),
                "-an",
                "-fps_mode",
                "passthrough",
                "-c:v",
                "mjpeg",
                lesson.path("concat.mov"));
        List<String> frames = CodedFilm.read(folder.resolve("concat.mov"));
        assertThat(frames.subList(0, (int) first.get(0).frames())).isEqualTo(MadeLesson.expected(first.subList(0, 1)));
    }
}
