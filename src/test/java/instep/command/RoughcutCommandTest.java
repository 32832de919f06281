package instep.command;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import instep.Main;
import instep.config.MediaFile;
import instep.daemon.WrittenJournal;
import instep.media.CodedFilm;
import instep.media.Ffprobe;
import instep.media.MissingProgramException;
import instep.media.Programs;
import java.io.BufferedReader;
import java.io.File;
import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardOpenOption;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.stream.Stream;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** What roughcut makes of files that are not as they should be, and what is there after it was stopped. */
class RoughcutCommandTest {
    private static final String CONFIG = """
            instep: 1
            timecode: { rate: 25 }
            angles: { wide: { reel: WIDE }, wheel: { reel: WHEEL } }
            machine: { states: { standby: } }
            """;
    private static final String HEAD = """
            media: 1
            takes:
              - take: 1
                day: 2026-03-02
                rate: 25
                from: "10:00:04:00"
                angles:
            """;

    @TempDir
    private Path folder = Path.of("");

    @BeforeEach
    void makeAJournalAndTwoFilms() throws Exception {
        new WrittenJournal("2026-03-02")
                .start(CONFIG)
                .open(100, 1)
                .cut(100, "wide")
                .cut(125, "wheel")
                .close(150, 1)
                .stop(200)
                .into(folder);
        CodedFilm.make(folder, 0, 100, 50, "25", "-c:v", "mjpeg", "wide.mov");
        CodedFilm.make(folder, 1, 100, 50, "25", "-c:v", "mjpeg", "wheel.mov");
    }

    private String path(String name) {
        return folder.resolve(name).toString();
    }

    private void listed(String wide, String wheel) throws IOException {
        Files.writeString(
                folder.resolve("media.yaml"),
                HEAD + "      wide: { original: [" + wide + "] }\n      wheel: { original: [" + wheel + "] }\n");
    }

    private static String file(String name, int frames) {
        return "{ file: " + name + ", start: \"10:00:04:00\", frames: " + frames + " }";
    }

    private Said roughcut(String... options) {
        List<String> args = new ArrayList<>(
                List.of("roughcut", folder.toString(), "--media", path("media.yaml"), "--output", path("rough.mp4")));
        args.addAll(List.of(options));
        return Said.by(args.toArray(String[]::new));
    }

    private List<String> made() throws IOException {
        try (Stream<Path> files = Files.walk(folder)) {
            return files.map(file -> folder.relativize(file).toString())
                    .filter(name -> name.startsWith("rough"))
                    .sorted()
                    .toList();
        }
    }

    @Test
    void filmsAndSaysHowItGetsOn() throws Exception {
        listed(file("wide.mov", 50), file("wheel.mov", 50));
        Said said = roughcut();
        assertThat(said.err()).isEmpty();
        assertThat(said.code()).isZero();
        assertThat(said.out()).contains(" 50 %, ").endsWith("Written: " + path("rough.mp4") + System.lineSeparator());
        assertThat(CodedFilm.read(folder.resolve("rough.mp4")))
                .hasSize(50)
                .contains("0 100", "0 124", "1 125", "1 149");
        assertThat(roughcut().code()).isEqualTo(2);
        assertThat(roughcut("--replace").code()).isZero();
    }

    @Test
    void refusesWhatNoFileShowsOrMakesItBlack() throws Exception {
        listed(
                file("wide.mov", 50),
                "{ file: wheel.mov, start: \"10:00:04:00\", frames: 40 }, " + file("gone.mov", 50));
        Said said = roughcut();
        assertThat(said.code()).isEqualTo(1);
        assertThat(said.err())
                .contains(path("gone.mov") + " is not there")
                .contains("take 1: no file shows wheel from 10:00:05:15 to 10:00:06:00, 00:00.400")
                .contains("nothing was filmed; --fill makes what is missing black");
        assertThat(made()).isEmpty();
        assertThat(roughcut("--fill").code()).isZero();
        assertThat(CodedFilm.read(folder.resolve("rough.mp4")))
                .hasSize(50)
                .contains("0 124", "1 139")
                .endsWith("-");
    }

    @Test
    void doesNotBelieveAListThatPromisesMoreThanTheFileHas() throws Exception {
        CodedFilm.make(folder, 1, 100, 30, "25", "-c:v", "mjpeg", "wheel.mov");
        listed(file("wide.mov", 50), file("wheel.mov", 50));
        assertThat(roughcut().err())
                .contains(path("wheel.mov") + " has only 30 frames, fewer than the list of media says: it is not used");
    }

    @Test
    void refusesAFileOfAnotherRateOrWithoutASteadyOne() throws Exception {
        CodedFilm.make(folder, 1, 100, 50, "30000/1001", "-c:v", "mjpeg", "wheel.mov");
        CodedFilm.make(folder, 0, 100, 60, "25", "-vf", "select='not(eq(mod(n,7),3))'", "-fps_mode", "vfr", "wide.mp4");
        listed(file("wide.mp4", 50), file("wheel.mov", 50));
        Said said = roughcut();
        assertThat(said.code()).isEqualTo(1);
        assertThat(said.err())
                .contains(path("wheel.mov") + " runs at 29.97 frames a second and the take at 25: it is not used")
                .contains(path("wide.mp4") + " has a variable frame rate: it is not used");
    }

    @Test
    void neverWritesOverWhatWasRecorded() throws Exception {
        Files.move(folder.resolve("wheel.mov"), folder.resolve("rough.mp4"));
        listed(file("wide.mov", 50), file("rough.mp4", 50));
        byte[] before = Files.readAllBytes(folder.resolve("rough.mp4"));
        Said said = roughcut("--replace");
        assertThat(said.code()).isEqualTo(2);
        assertThat(said.err()).contains("is one of the files that were recorded");
        assertThat(folder.resolve("rough.mp4")).hasBinaryContent(before);
    }

    /** It is in no list: a card's file of another lesson, say. */
    @Test
    void neverWritesOverAFilmThatItHasNotMade() throws Exception {
        listed(file("wide.mov", 50), file("wheel.mov", 50));
        Files.copy(folder.resolve("wheel.mov"), folder.resolve("rough.mp4"));
        byte[] before = Files.readAllBytes(folder.resolve("rough.mp4"));
        Said said = roughcut("--replace");
        assertThat(said.code()).isEqualTo(2);
        assertThat(said.err()).contains("is no rough cut of ours");
        assertThat(folder.resolve("rough.mp4")).hasBinaryContent(before);
    }

    @Test
    void refusesTakesOfDifferentRatesInOneFilm() throws Exception {
        listed(file("wide.mov", 50), file("wheel.mov", 50));
        Files.writeString(
                folder.resolve("media.yaml"),
                "  - { take: 1, day: 2026-03-03, rate: 30, from: \"10:00:00:00\", angles: {} }\n",
                StandardOpenOption.APPEND);
        new WrittenJournal("2026-03-03")
                .start(CONFIG.replace("rate: 25", "rate: 30"), "30")
                .open(1_080_000 - 900_000, 1)
                .cut(1_080_000 - 900_000, "wide")
                .close(1_080_050 - 900_000, 1)
                .into(folder);
        Said said = roughcut();
        assertThat(said.code()).isEqualTo(2);
        assertThat(said.err()).contains("different frame rates");
        assertThat(roughcut("--day", "2026-03-02").code()).isZero();
    }

    @Test
    void refusesATakeThatIsNotListed() throws Exception {
        Files.writeString(folder.resolve("media.yaml"), "media: 1\ntakes: []\n");
        Said said = roughcut();
        assertThat(said.code()).isEqualTo(1);
        assertThat(said.err()).contains("take 1 of 2026-03-02 from 10:00:04:00 is not in the list of media");
    }

    @Test
    void refusesOptionsThatMeanNothing() throws Exception {
        listed("", "");
        assertThat(roughcut("--size", "large").err()).contains("--size large: expected a size such as 1280x720");
        assertThat(Said.by("roughcut", folder.toString(), "--media", path("media.yaml"), "--output", path("a.gif"))
                        .err())
                .contains("expected a name that ends in .mp4, .mov or .mkv");
        assertThat(roughcut("--take", "7").code()).isEqualTo(2);
        assertThat(Said.by("roughcut", folder.toString(), "--output", path("a.mp4"))
                        .code())
                .isEqualTo(2);
    }

    @Test
    void needsFfmpeg() throws Exception {
        listed(file("wide.mov", 50), file("wheel.mov", 50));
        RoughcutRun run = new RoughcutRun(
                new TakeOptions(), Optional.empty(), MediaFile.read(folder.resolve("media.yaml")), Programs.in(folder));
        assertThatThrownBy(() -> run.plan(folder, false))
                .isInstanceOf(MissingProgramException.class)
                .hasMessageContaining("sudo apt-get install ffmpeg");
        assertThatThrownBy(() -> new Ffprobe(Programs.in(folder)).read(folder.resolve("wide.mov"), "w"))
                .isInstanceOf(MissingProgramException.class);
    }

    /** The process of a terminal gets SIGINT while it films. */
    @Test
    void leavesNoHalfFilmWhenItIsInterruptedAndDoesNotFilmAFinishedTakeAgain() throws Exception {
        CodedFilm.make(folder, 0, 0, 1500, "25", "-c:v", "mjpeg", "long.mov");
        listed(file("wide.mov", 50), file("wheel.mov", 50));
        Files.writeString(
                folder.resolve("media.yaml"),
                "  - take: 2\n    day: 2026-03-02\n    rate: 25\n    from: \"10:01:00:00\"\n    angles: { wide: { original: [{"
                        + " file: long.mov, start: \"10:01:00:00\", frames: 1500 }] } }\n",
                StandardOpenOption.APPEND);
        new WrittenJournal("2026-03-02")
                .start(CONFIG)
                .open(100, 1)
                .cut(100, "wide")
                .cut(125, "wheel")
                .close(150, 1)
                .open(1500, 2)
                .cut(1500, "wide")
                .close(3000, 2)
                .stop(3100)
                .into(folder);
        Process process = new ProcessBuilder(
                        Path.of(System.getProperty("java.home"), "bin", "java").toString(),
                        "-cp",
                        System.getProperty("java.class.path"),
                        Main.class.getName(),
                        "roughcut",
                        folder.toString(),
                        "--media",
                        path("media.yaml"),
                        "--size",
                        "1280x640",
                        "--output",
                        path("rough.mp4"))
                .redirectError(new File(path("err.txt")))
                .start();
        try (BufferedReader out = process.inputReader(StandardCharsets.UTF_8)) {
            assertThat(out.readLine()).startsWith(" 10 %");
            assertThat(new ProcessBuilder("kill", "-INT", String.valueOf(process.pid()))
                            .start()
                            .waitFor())
                    .isZero();
            // 128 and the number of the signal, as shells have it.
            assertThat(process.waitFor()).isEqualTo(130);
        }
        assertThat(made()).hasSize(3).allMatch(name -> name.startsWith("rough.mp4.parts") && !name.endsWith(".part"));
        Said again = roughcut("--take", "1", "--size", "1280x640");
        assertThat(again.out()).startsWith("100 %");
        assertThat(CodedFilm.read(folder.resolve("rough.mp4"))).hasSize(50);
    }
}
