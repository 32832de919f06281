package instep.media;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import instep.cutlist.Recording;
import instep.time.FrameRate;
import instep.time.Timecode;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Collections;
import java.util.List;
import java.util.Optional;
import java.util.concurrent.CancellationException;
import java.util.concurrent.CompletableFuture;
import java.util.concurrent.CompletionException;
import java.util.concurrent.CountDownLatch;
import java.util.stream.IntStream;
import java.util.stream.Stream;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/** Every frame of a rough cut is the one that was asked for, whatever container and codec it comes from; and the result is whole or not there. */
class RoughCutTest {
    private static final Timecode START = Timecode.parse("01:00:00:00", FrameRate.R25);

    @TempDir
    private Path folder = Path.of("");

    private final List<String> progress = new ArrayList<>();

    private Recording film(int camera, int frames, String rate, String... arguments) throws Exception {
        CodedFilm.make(folder, camera, 0, frames, rate, arguments);
        String name = arguments[arguments.length - 1];
        return new Ffprobe(Programs.INSTALLED).read(folder.resolve(name), name);
    }

    private Recording film(int camera, int frames, String name) throws Exception {
        return film(camera, frames, "25", "-c:v", "mjpeg", "-q:v", "3", name);
    }

    private static Stretch stretch(Recording recording, long first, long frames) {
        return new Stretch(Optional.of(recording), first, frames);
    }

    private static TakeCut take(int number, List<Stretch> pictures) {
        return new TakeCut("take " + number, pictures, pictures);
    }

    private static TakeCut silent(List<Stretch> pictures) {
        return new TakeCut("take 1", pictures, List.of());
    }

    private RoughCut cut(Canvas canvas) {
        return new RoughCut(
                Programs.INSTALLED,
                canvas,
                folder.resolve("rough.mp4"),
                (frames, kept) -> progress.add((kept ? "kept " : "") + frames));
    }

    private static Canvas canvas(FrameRate rate) {
        return new Canvas(CodedFilm.WIDTH, CodedFilm.HEIGHT, rate);
    }

    private static List<String> numbers(int camera, int first, int frames) {
        return IntStream.range(first, first + frames)
                .mapToObj(number -> camera + " " + number)
                .toList();
    }

    private List<String> files() throws IOException {
        try (Stream<Path> files = Files.walk(folder)) {
            return files.filter(Files::isRegularFile)
                    .map(file -> folder.relativize(file).toString())
                    .filter(name -> name.startsWith("rough"))
                    .sorted()
                    .toList();
        }
    }

    /** Long groups of pictures with some that refer to later ones; a container without an index, with sound that begins earlier. */
    @ParameterizedTest
    @CsvSource({"a.mp4, libx264, 25, R25", "a.ts, libx264, 60000/1001, R59_94"})
    void findsEachFrameByItsNumber(String name, String codec, String fraction, FrameRate rate) throws Exception {
        findsEachFrame(name, codec, fraction, rate);
    }

    /** The same in more containers and codecs, and with rounded times. */
    @Tag("lab")
    @ParameterizedTest
    @CsvSource({
        "a.mov, prores, 30000/1001, R29_97_DROP",
        "a.mov, mjpeg, 50, R50",
        "a.mp4, libx264, 60000/1001, R59_94_DROP",
        "a.mkv, libx264, 24000/1001, R23_976",
        "a.mkv, libx264, 60, R60",
        "a.mpg, mpeg2video, 25, R25",
        "a.mxf, mpeg2video, 25, R25",
        "a.avi, mpeg4, 24, R24"
    })
    void findsEachFrameInOtherContainers(String name, String codec, String fraction, FrameRate rate) throws Exception {
        findsEachFrame(name, codec, fraction, rate);
    }

    private void findsEachFrame(String name, String codec, String fraction, FrameRate rate) throws Exception {
        Recording film = film(
                2,
                300,
                fraction,
                "-c:v",
                codec,
                "-g",
                "100",
                "-pix_fmt",
                codec.equals("prores") ? "yuv422p10le" : "yuv420p",
                "-b:v",
                "4M",
                name);
        cut(canvas(rate))
                .make(
                        List.of(silent(List.of(
                                stretch(film, 0, 3),
                                stretch(film, 137, 40),
                                stretch(film, 99, 1),
                                stretch(film, 101, 2),
                                stretch(film, 280, 20)))),
                        new Timecode(rate, 0));
        List<String> expected = new ArrayList<>(numbers(2, 0, 3));
        expected.addAll(numbers(2, 137, 40));
        expected.addAll(numbers(2, 99, 1));
        expected.addAll(numbers(2, 101, 2));
        expected.addAll(numbers(2, 280, 20));
        assertThat(CodedFilm.read(folder.resolve("rough.mp4"))).isEqualTo(expected);
        assertThat(files()).containsExactly("rough.mp4");
    }

    @Test
    void joinsTakesWithoutASeamAndCarriesTheTimecode() throws Exception {
        Recording one = film(0, 100, "30000/1001", "-c:v", "mjpeg", "a.mov");
        Recording two = film(1, 100, "30000/1001", "-c:v", "mjpeg", "b.mov");
        FrameRate drop = FrameRate.R29_97_DROP;
        cut(canvas(drop))
                .make(
                        List.of(
                                take(1, List.of(stretch(one, 0, 31), stretch(two, 31, 30))),
                                take(2, List.of(stretch(two, 7, 50)))),
                        Timecode.parse("01:00:59;20", drop));
        Recording rough = new Ffprobe(Programs.INSTALLED).read(folder.resolve("rough.mp4"), "rough.mp4");
        assertThat(rough.rate()).isEqualTo(new Recording.Rate(30_000, 1_001, true));
        assertThat(rough.frames()).isEqualTo(111);
        assertThat(rough.start()).isEqualTo("01:00:59;20");
        assertThat(CodedFilm.read(folder.resolve("rough.mp4")))
                .containsExactlyElementsOf(Stream.of(numbers(0, 0, 31), numbers(1, 31, 30), numbers(1, 7, 50))
                        .flatMap(List::stream)
                        .toList());
    }

    @Test
    void cutsTheSoundWithThePicturesOrLetsOneGoOn() throws Exception {
        Recording one = film(0, 100, "a.mov");
        Recording two = film(1, 100, "b.mov");
        List<Stretch> pictures = List.of(stretch(one, 0, 25), stretch(two, 25, 25), stretch(one, 50, 25));
        cut(canvas(FrameRate.R25)).make(List.of(take(1, pictures)), START);
        assertThat(heard()).containsExactly(0, 1, 0);
        List<Stretch> through = List.of(stretch(two, 0, 50), new Stretch(Optional.empty(), 0, 25));
        cut(canvas(FrameRate.R25)).make(List.of(new TakeCut("take 1", pictures, through)), START);
        assertThat(heard()).containsExactly(1, 1, -1);
        cut(canvas(FrameRate.R25)).make(List.of(new TakeCut("take 1", pictures, List.of())), START);
        assertThat(new Ffprobe(Programs.INSTALLED)
                        .read(folder.resolve("rough.mp4"), "r")
                        .sounds())
                .isZero();
    }

    /** A tone begins in the source at its frame 50, wherever the container has its sound's beginning. */
    @ParameterizedTest
    @CsvSource({"a.mov, pcm_s16le", "a.mp4, aac", "a.ts, aac"})
    void keepsSoundWherePicturesAre(String name, String codec) throws Exception {
        Filmed.ffmpeg(
                folder,
                "-f",
                "lavfi",
                "-i",
                "testsrc=s=128x64:r=25",
                "-f",
                "lavfi",
                "-i",
                "aevalsrc='if(gte(t,2),0.5*sin(2*PI*1000*t),0)':s=48000",
                "-t",
                "4",
                "-pix_fmt",
                "yuv420p",
                "-c:a",
                codec,
                name);
        Recording film = new Ffprobe(Programs.INSTALLED).read(folder.resolve(name), name);
        List<Stretch> cut = List.of(stretch(film, 0, 10), stretch(film, 30, 40));
        cut(canvas(FrameRate.R25)).make(List.of(take(1, cut)), START);
        short[] samples = CodedFilm.samples(folder.resolve("rough.mp4"));
        int onset = 0;
        while (Math.abs(samples[2 * onset]) < 2_000) {
            onset++;
        }
        // Ten frames of the first stretch, and twenty of the second; to a quarter of a frame.
        assertThat(onset).isBetween(30 * 1_920 - 480, 30 * 1_920 + 480);
    }

    /** What is heard in the middle of each of three seconds. */
    private List<Integer> heard() throws Exception {
        short[] samples = CodedFilm.samples(folder.resolve("rough.mp4"));
        return Stream.of(0, 1, 2)
                .map(second -> CodedFilm.loudest(samples, 48_000 * second + 12_000, 24_000))
                .toList();
    }

    @Test
    void showsBlackWhereThereIsNoFile() throws Exception {
        Recording one = film(1, 100, "a.mov");
        cut(canvas(FrameRate.R25))
                .make(List.of(take(1, List.of(stretch(one, 0, 2), new Stretch(Optional.empty(), 0, 2)))), START);
        assertThat(CodedFilm.read(folder.resolve("rough.mp4"))).containsExactly("1 0", "1 1", "-", "-");
    }

    @Test
    void fitsPicturesOfOtherSizesIn() throws Exception {
        Recording one = film(1, 100, "a.mov");
        Recording large = film(2, 100, "25", "-c:v", "mjpeg", "-vf", "scale=512:256", "b.mov");
        cut(canvas(FrameRate.R25)).make(List.of(take(1, List.of(stretch(one, 0, 2), stretch(large, 2, 2)))), START);
        assertThat(CodedFilm.read(folder.resolve("rough.mp4"))).containsExactly("1 0", "1 1", "2 2", "2 3");
    }

    @Test
    void failsRatherThanBeShortWhereAFileEndsEarlyAndLeavesNothingHalf() throws Exception {
        Recording one = film(1, 20, "a.mov");
        assertThatThrownBy(() ->
                        cut(canvas(FrameRate.R25)).make(List.of(take(1, List.of(stretch(one, 10, 12)))), START))
                .isInstanceOf(IOException.class)
                .hasMessageContaining("a.mov ends 2 frames early: it has no frame 20");
        assertThat(files()).isEmpty();
    }

    @Test
    void keepsFinishedTakesAndDoesNotFilmThemAgain() throws Exception {
        Recording one = film(1, 30, "a.mov");
        List<Stretch> good = List.of(stretch(one, 0, 10));
        assertThatThrownBy(() -> cut(canvas(FrameRate.R25))
                        .make(List.of(take(1, good), take(2, List.of(stretch(one, 25, 10)))), START))
                .isInstanceOf(IOException.class);
        assertThat(files()).hasSize(2).allMatch(name -> name.startsWith("rough.mp4.parts/take-1-"));
        progress.clear();
        cut(canvas(FrameRate.R25)).make(List.of(take(1, good), take(2, List.of(stretch(one, 20, 10)))), START);
        assertThat(progress).hasSize(11).first().isEqualTo("kept 10");
        assertThat(CodedFilm.read(folder.resolve("rough.mp4"))).hasSize(20).contains("1 9", "1 20");
        assertThat(files()).containsExactly("rough.mp4");
    }

    @Test
    void filmsATakeAgainThatIsCutInAnotherWayOrWhoseFileHasChanged() throws Exception {
        Recording one = film(1, 30, "a.mov");
        List<Stretch> bad = List.of(stretch(one, 25, 10));
        assertThatThrownBy(() -> cut(canvas(FrameRate.R25))
                        .make(List.of(take(1, List.of(stretch(one, 0, 10))), take(2, bad)), START))
                .isInstanceOf(IOException.class);
        film(3, 30, "a.mov");
        progress.clear();
        cut(canvas(FrameRate.R25)).make(List.of(take(1, List.of(stretch(one, 0, 10)))), START);
        assertThat(progress).hasSize(10);
        assertThat(CodedFilm.read(folder.resolve("rough.mp4"))).isEqualTo(numbers(3, 0, 10));
    }

    @Test
    void leavesNothingHalfWhenItIsCancelledAndKeepsWhatWasThereBefore() throws Exception {
        Recording one = film(1, 300, "a.mov");
        Files.writeString(folder.resolve("rough.mp4"), "before");
        CountDownLatch going = new CountDownLatch(20);
        RoughCut cut = new RoughCut(
                Programs.INSTALLED,
                canvas(FrameRate.R25),
                folder.resolve("rough.mp4"),
                (frames, kept) -> going.countDown());
        List<Stretch> long1 = Collections.nCopies(200, stretch(one, 0, 300));
        CompletableFuture<Void> work = CompletableFuture.runAsync(() -> {
            try {
                cut.make(List.of(silent(long1)), START);
            } catch (IOException e) {
                throw new CompletionException(e);
            }
        });
        going.await();
        cut.cancel();
        assertThatThrownBy(work::join).hasRootCauseInstanceOf(CancellationException.class);
        assertThat(files()).containsExactly("rough.mp4");
        assertThat(folder.resolve("rough.mp4")).hasContent("before");
    }

    @Test
    void saysWhatTheEncoderSays() throws Exception {
        Recording one = film(1, 30, "a.mov");
        Filmed.program(
                folder,
                "ffmpeg",
                "case \"$*\" in *libx264*) echo 'x264 [error]: no space' >&2; exit 1;; *) exec /usr/bin/env ffmpeg \"$@\";; esac");
        RoughCut broken = new RoughCut(
                Programs.in(folder), canvas(FrameRate.R25), folder.resolve("rough.mp4"), (frames, kept) -> {});
        assertThatThrownBy(() -> broken.make(List.of(silent(Collections.nCopies(50, stretch(one, 0, 30)))), START))
                .isInstanceOf(IOException.class)
                .hasMessage("the pictures cannot be encoded: x264 [error]: no space");
        assertThat(files()).isEmpty();
    }
}
