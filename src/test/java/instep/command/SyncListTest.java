package instep.command;

import static org.assertj.core.api.Assertions.assertThat;

import instep.config.MediaFile;
import instep.cutlist.MediaList;
import instep.daemon.WrittenJournal;
import instep.media.CodedFilm;
import instep.media.Filmed;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.stream.Stream;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/**
 * Recordings without timecode, or with a wrong one, get into a list of media by their sound; and each frame of a rough cut over that list is the one that the cut list says. FFmpeg makes the films
 * (Debian's package): all hear one room, and every picture tells which frame of the journal its camera saw.
 */
class SyncListTest {
    private static final String CONFIG = """
            instep: 1
            timecode: { rate: 25 }
            angles: { wide: { reel: WIDE, offset: 3f }, wheel: { reel: WHEEL }, hands: { reel: HANDS } }
            machine: { states: { standby: } }
            """;
    /** The room has been there since this frame of the journal: 10:00:00:00 and the test's journal count from there. */
    private static final int TAKE = 100;

    private static final int END = 500;

    /** What was recorded, made once. */
    @TempDir
    private static Path recorded = Path.of("");

    @TempDir
    private Path folder = Path.of("");

    private String path(String name) {
        return folder.resolve(name).toString();
    }

    private Said sync(String... words) {
        List<String> args = new ArrayList<>(List.of("sync", "--journal", path("takes")));
        args.addAll(List.of(words));
        return Said.by(args.toArray(String[]::new));
    }

    /** What a camera recorded from a frame of the journal on. Its sound goes on from one frame to the next, so a part of a frame shows, too. */
    private static void film(Path folder, String name, int camera, int from, int frames, String... encoder)
            throws Exception {
        CodedFilm.make(folder, camera, from, frames, "25", "-c:v", "mjpeg", "-q:v", "4", "bare.mov");
        List<String> arguments =
                new ArrayList<>(List.of("-i", folder.resolve("bare.mov").toString(), "-ss"));
        arguments.add(String.format(Locale.ROOT, "%.4f", from / 25.0));
        arguments.addAll(List.of("-i", folder.resolve("room.wav").toString(), "-map", "0:v", "-map", "1:a", "-t"));
        arguments.addAll(List.of(String.valueOf(frames / 25.0), "-c:v", "copy", "-c:a", "pcm_s16le"));
        arguments.addAll(List.of(encoder));
        arguments.add(folder.resolve(name).toString());
        Filmed.ffmpeg(folder, arguments.toArray(String[]::new));
    }

    @BeforeAll
    static void performAndRecord() throws Exception {
        new WrittenJournal("2026-03-02")
                .start(CONFIG)
                .open(TAKE, 1)
                .cut(TAKE, "wide")
                .cut(200, "wheel")
                .cut(320, "hands")
                .cut(440, "wide")
                .close(END, 1)
                .stop(END + 50)
                .into(Files.createDirectory(recorded.resolve("takes")));
        Filmed.ffmpeg(
                recorded,
                "-f",
                "lavfi",
                "-i",
                "aevalsrc=exprs='0.5*(random(0)-0.5)*pow(sin(2*PI*0.37*t)*sin(2*PI*1.13*t+1)*sin(2*PI*2.71*t+2),2)':s=48000:d=30",
                recorded.resolve("room.wav").toString());
        film(recorded, "WIDE.mov", 0, 60, 460, "-timecode", "10:00:02:13");
        film(recorded, "WHEEL.mov", 1, 137, 290);
        film(recorded, "HANDS.mov", 2, 40, 470, "-timecode", "23:11:00:00");
    }

    @BeforeEach
    void comeHomeWithTheCards() throws Exception {
        try (Stream<Path> all = Files.walk(recorded)) {
            for (Path each : all.skip(1).toList()) {
                Files.copy(each, folder.resolve(recorded.relativize(each)));
            }
        }
    }

    private List<String> filmed() throws Exception {
        Said said = Said.by(
                "roughcut", path("takes"), "--media", path("media.yaml"), "--output", path("rough.mp4"), "--replace");
        assertThat(said.err()).isEmpty();
        return CodedFilm.read(folder.resolve("rough.mp4"));
    }

    private static List<String> expected() {
        List<String> pictures = new ArrayList<>();
        for (int frame = TAKE; frame < END; frame++) {
            pictures.add((frame < 200 || frame >= 440 ? 0 : frame < 320 ? 1 : 2) + " " + frame);
        }
        return pictures;
    }

    @Test
    void everyFrameIsTheOneThatTheCutListSays() throws Exception {
        Said said = sync(path("WIDE.mov"), path("WHEEL.mov"), path("HANDS.mov"), "--write", path("media.yaml"));
        assertThat(said.err()).isEmpty();
        assertThat(said.code()).isZero();
        assertThat(said.out()).endsWith("Written: " + path("media.yaml") + System.lineSeparator());
        assertThat(filmed()).isEqualTo(expected());

        // A list names what each file itself has at that frame: its own timecode, or how far into it that is.
        Said cut = Said.by("cutlist", path("takes"), "--media", path("media.yaml"), "--write", path("a.edl"));
        assertThat(cut.code()).as(cut.err()).isZero();
        assertThat(Files.readAllLines(folder.resolve("a.edl")).stream()
                        .filter(line -> line.matches("[0-9]{3}  .*"))
                        .map(line -> line.split(" +", -1))
                        .map(words -> words[1] + " " + words[4] + " " + words[5]))
                .containsExactly(
                        "WIDE 10:00:04:03 10:00:08:03",
                        "WHEEL 00:00:02:13 00:00:07:08",
                        "HANDS 23:11:11:05 23:11:16:00",
                        "WIDE 10:00:17:18 10:00:20:03");
        assertThat(Said.by("report", path("takes"), "--media", path("media.yaml"), "--text", "-o", path("a.html"))
                        .code())
                .isZero();
        assertThat(Files.readAllLines(folder.resolve("a.html")).stream().filter(line -> line.contains(">original<")))
                .hasSize(3)
                .noneMatch(line -> line.contains("the programme needs"));
    }

    @Test
    void addsToWhatIsPlacedAlready() throws Exception {
        Files.createDirectory(folder.resolve("cards"));
        Files.move(folder.resolve("WIDE.mov"), folder.resolve("cards/WIDE.mov"));
        Said match = Said.by("match", path("takes"), path("cards"), "--write", path("matched.yaml"));
        assertThat(match.code()).as("two angles are missing").isEqualTo(1);
        // Somebody has seen that the camera was a second late.
        String corrected = Files.readString(folder.resolve("matched.yaml")).replace("10:00:02:10", "10:00:03:10");
        Files.writeString(folder.resolve("matched.yaml"), corrected);
        Said said = sync(
                path("cards/WIDE.mov"),
                path("WHEEL.mov"),
                "--media",
                path("matched.yaml"),
                "--write",
                path("media.yaml"));
        assertThat(said.err()).isEmpty();
        MediaList.InTake take =
                MediaFile.read(folder.resolve("media.yaml")).takes().get(0);
        assertThat(take.held())
                .extracting(held -> Path.of(held.file()).getFileName() + " " + held.at())
                .containsExactly("WIDE.mov 10:00:03:10", "WHEEL.mov 10:00:06:12");
    }

    @Tag("lab")
    @Test
    void takesALabelForRecordingsOfWhichNoneHasAny() throws Exception {
        String[] recordings = {path("WHEEL.mov"), path("WIDE.mov"), path("HANDS.mov"), "--write", path("media.yaml")};
        Said none = sync(recordings);
        assertThat(none.code()).isEqualTo(2);
        assertThat(none.err())
                .contains(
                        "WHEEL.mov has no timecode, so it is not known where it begins: name another recording first, or say with --at");
        assertThat(folder.resolve("media.yaml")).doesNotExist();
        Said said = sync(MadeLesson.with(recordings, "--at", "10:00:05:12"));
        assertThat(said.err()).isEmpty();
        assertThat(filmed()).isEqualTo(expected());
    }

    @Test
    void writesWhatItHasFoundAndTellsWhatItHasNot() throws Exception {
        Filmed.ffmpeg(
                folder,
                "-f",
                "lavfi",
                "-i",
                "testsrc=s=64x48:r=25:d=9",
                "-f",
                "lavfi",
                "-i",
                "anoisesrc=d=9:seed=3:a=0.2",
                "-c:v",
                "mjpeg",
                path("HANDS_other.mov"));
        Files.move(folder.resolve("WHEEL.mov"), folder.resolve("7.mov"));
        Said said = sync(
                path("WIDE.mov"),
                path("HANDS_other.mov"),
                path("7.mov"),
                path("room.wav"),
                "--write",
                path("media.yaml"));
        assertThat(said.code()).isEqualTo(1);
        assertThat(said.out()).contains("HANDS_other.mov: refused");
        assertThat(said.err())
                .contains("7.mov is not in the list: it has no reel's name in its name or in itself")
                .contains("room.wav is not in the list: it has sound only");
        assertThat(MediaFile.read(folder.resolve("media.yaml")).takes().get(0).held())
                .hasSize(1);
    }

    /** Sound from the start of the recorder, pictures from half a second later. */
    @Test
    void placesPicturesThatBeginLaterThanTheirSound() throws Exception {
        Filmed.ffmpeg(
                folder,
                "-itsoffset",
                "0.52",
                "-i",
                path("WHEEL.mov"),
                "-i",
                path("WHEEL.mov"),
                "-map",
                "0:v",
                "-map",
                "1:a",
                "-c",
                "copy",
                path("late_WHEEL.mkv"));
        assertThat(sync(path("WIDE.mov"), path("late_WHEEL.mkv"), "--write", path("media.yaml"))
                        .code())
                .isZero();
        MediaList.InTake take =
                MediaFile.read(folder.resolve("media.yaml")).takes().get(0);
        assertThat(take.held()).extracting(held -> held.at().toString()).containsExactly("10:00:02:10", "10:00:06:00");
    }

    @Tag("lab")
    @Test
    void saysHowFarPicturesAreOffWhereAClockDrifts() throws Exception {
        Filmed.ffmpeg(
                folder,
                "-f",
                "lavfi",
                "-i",
                "testsrc=s=64x48:r=25:d=29.9",
                "-i",
                path("room.wav"),
                "-af",
                "asetrate=48043,aresample=48000",
                "-c:v",
                "mjpeg",
                "-c:a",
                "pcm_s16le",
                path("HANDS_quick.mov"));
        Said said =
                sync(path("room.wav"), path("HANDS_quick.mov"), "--at", "10:00:00:00", "--write", path("media.yaml"));
        assertThat(said.err())
                .contains("HANDS_quick.mov: its clock drifts, at its end its pictures are 0.7 frames off");
        assertThat(said.code()).isZero();
    }

    @Test
    void neverWritesOverAnything() throws Exception {
        byte[] before = Files.readAllBytes(folder.resolve("HANDS.mov"));
        Said film = sync(path("WIDE.mov"), path("WHEEL.mov"), "--write", path("HANDS.mov"), "--replace");
        assertThat(film.code()).isEqualTo(2);
        assertThat(film.err()).contains("expected a name that ends in .yaml");
        assertThat(folder.resolve("HANDS.mov")).hasBinaryContent(before);
        Files.writeString(folder.resolve("media.yaml"), "mine");
        Said there = sync(path("WIDE.mov"), path("WHEEL.mov"), "--write", path("media.yaml"));
        assertThat(there.code()).isEqualTo(2);
        assertThat(there.err()).contains("is there already; --replace writes over it");
        assertThat(folder.resolve("media.yaml")).hasContent("mine");
    }

    @Test
    void refusesWhatMeansNothing() {
        String[] recordings = {path("WIDE.mov"), path("WHEEL.mov")};
        assertThat(sync(recordings).err()).contains("are about a list: name it with --write");
        String[] listed = MadeLesson.with(recordings, "--write", path("media.yaml"));
        assertThat(sync(MadeLesson.with(listed, "--at", "10:00:61:00")).err()).contains("--at 10:00:61:00: ");
        assertThat(sync(MadeLesson.with(listed, "--take", "7")).err()).contains("there is no such take");
    }
}
