package instep.command;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import instep.daemon.WrittenJournal;
import instep.media.Ffprobe;
import instep.media.Filmed;
import instep.media.MissingProgramException;
import instep.media.Programs;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.TreeMap;
import java.util.stream.Stream;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** From a journal and folders of recordings to the table of what is there, the list of media, and a cut list that names files. */
class MatchCommandTest {
    private static final String DAY = "2026-03-02";
    private static final String CONFIG = """
            instep: 1
            timecode: { rate: 25 }
            angles: { wide: { reel: WIDE }, wheel: { reel: WHEEL, offset: 2f }, hands: { reel: HANDS } }
            machine: { states: { standby: } }
            """;

    @TempDir
    private Path folder = Path.of("");

    private Path cards = Path.of("");

    @BeforeEach
    void makeAJournalAndAFolder() throws IOException {
        cards = Files.createDirectories(folder.resolve("cards"));
        // Eight seconds from 10:00:04:00; hands are never seen.
        new WrittenJournal(DAY)
                .start(CONFIG)
                .open(100, 1)
                .cut(100, "wide")
                .cut(200, "wheel")
                .back(250, "wide")
                .close(300, 1)
                .open(1000, 2)
                .close(1000, 2)
                .open(1500, 3)
                .cut(1500, "wide")
                .cut(1525, "wheel")
                .into(folder);
    }

    private void film(String name, String start, double seconds, String... more) throws Exception {
        Files.createDirectories(cards.resolve(name).getParent());
        List<String> arguments = new ArrayList<>(List.of("-f", "lavfi", "-i", "testsrc=s=64x48:r=25"));
        arguments.addAll(List.of("-t", String.valueOf(seconds), "-c:v", "mjpeg", "-timecode", start));
        arguments.addAll(List.of("-metadata", "creation_time=" + DAY + "T12:00:00Z"));
        arguments.addAll(List.of(more));
        arguments.add(cards.resolve(name).toString());
        Filmed.ffmpeg(folder, arguments.toArray(String[]::new));
    }

    private Said match(String... options) {
        List<String> args = new ArrayList<>(List.of("match", folder.toString(), cards.toString()));
        args.addAll(List.of(options));
        return Said.by(args.toArray(String[]::new));
    }

    private static List<String> lines(Said said) {
        return said.out()
                .lines()
                .map(line -> line.strip().replaceAll(" +", " "))
                .toList();
    }

    private Map<String, String> everything() throws IOException {
        Map<String, String> all = new TreeMap<>();
        try (Stream<Path> files = Files.walk(folder)) {
            for (Path file : files.filter(Files::isRegularFile).toList()) {
                all.put(file.toString(), Files.getLastModifiedTime(file) + " " + Files.size(file));
            }
        }
        return all;
    }

    @Test
    void saysThatTheFolderHasNoRecording() throws IOException {
        Files.writeString(cards.resolve("notes.txt"), "second firing on Thursday");
        Said said = match();
        assertThat(said.code()).isEqualTo(1);
        assertThat(said.err()).startsWith("instep: there is no recording in " + cards + System.lineSeparator());
    }

    @Test
    void tellsWhatIsThereAndChangesNothing() throws Exception {
        film("WIDE_1.mov", "10:00:03:00", 4);
        film("WIDE_2.mov", "10:00:07:00", 10);
        film("proxy/WIDE.mov", "10:00:03:00", 20);
        film("WHEEL.mov", "10:00:04:02", 8);
        Map<String, String> before = everything();
        Said said = match("--take", "1");
        assertThat(said.err()).isEmpty();
        assertThat(said.code()).isZero();
        assertThat(lines(said))
                .containsExactly(
                        "Take 1 of 2026-03-02: 10:00:04:00 to 10:00:12:00, 00:08.000",
                        "angle proxy original in the cut list",
                        "wide 100.0 %, 1 file 100.0 %, 2 files all there",
                        "wheel - 100.0 %, 1 file all there",
                        "hands - - not in it",
                        "");
        assertThat(everything()).isEqualTo(before);
    }

    @Test
    void failsWhereAShotOfTheCutListIsNotCovered() throws Exception {
        film("WIDE_1.mov", "10:00:03:00", 8);
        film("WHEEL.mov", "10:00:09:02", 0.4);
        Said said = match("--take", "1");
        assertThat(said.code()).isEqualTo(1);
        assertThat(lines(said))
                .contains(
                        "wide - 87.5 %, 1 file MISSING 00:01.000 of originals",
                        "no original from 10:00:11:00 to 10:00:12:00, 00:01.000, and the cut list needs 00:01.000 of it",
                        "wheel - 5.0 %, 1 file MISSING 00:01.600 of originals",
                        "no original from 10:00:04:00 to 10:00:09:00, 00:05.000, and the cut list needs 00:01.000 of it",
                        "no original from 10:00:09:10 to 10:00:12:00, 00:02.600, and the cut list needs 00:00.600 of it");
        assertThat(said.err())
                .contains("not all shots of the cut list are covered: take 1 of 2026-03-02 by its originals");
    }

    @Test
    void asksForProxiesWhereThoseArePreferred() throws Exception {
        film("proxy/WIDE.mov", "10:00:03:00", 20);
        film("proxy/WHEEL.mov", "10:00:03:00", 20);
        assertThat(match("--take", "1").code()).isEqualTo(1);
        assertThat(match("--take", "1", "--prefer", "proxy").code()).isZero();
    }

    @Test
    void needsOnlyWhatTheRefinementsLeave() throws Exception {
        film("WIDE.mov", "10:00:03:00", 7.5);
        film("WHEEL.mov", "10:00:03:00", 20);
        assertThat(match("--take", "1").code()).isEqualTo(1);
        assertThat(match("--take", "1", "--tail", "2s").code()).isZero();
    }

    @Test
    void namesEveryFileThatItDoesNotUse() throws Exception {
        film("WIDE.mov", "10:00:03:00", 20);
        film("WHEEL.mov", "10:00:03:00", 20);
        film("copy/WHEEL.mov", "10:00:03:00", 20);
        film("WIDE_slow.mov", "10:00:03:00", 20, "-r", "24");
        film("stray.mov", "10:00:03:00", 1);
        film("WIDE_night.mov", "22:00:00:00", 1);
        film("WIDE_phone.mov", "10:00:03:00", 20, "-vf", "select='not(eq(mod(n,7),3))'", "-fps_mode", "vfr");
        Files.writeString(cards.resolve("WIDE_torn.mov"), "torn");
        Files.writeString(cards.resolve("notes.txt"), "clay");
        Said said = match("--take", "1", "--write", folder.resolve("media.yaml").toString());
        assertThat(said.code()).isZero();
        assertThat(lines(said))
                .contains(
                        "Not used:",
                        "cards/WIDE_torn.mov cannot be read: Invalid data found when processing input",
                        "cards/WIDE_night.mov was recorded when there was no take: it begins at 22:00:00:00",
                        "cards/WIDE_phone.mov has a variable frame rate, so its frames have no fixed place: make a copy of a"
                                + " constant rate",
                        "cards/WIDE_slow.mov runs at 24 frames a second, but the takes at 25",
                        "cards/copy/WHEEL.mov shows nothing that is not in cards/WHEEL.mov as well",
                        "cards/stray.mov has no reel's name in its name or in itself",
                        "1 other file is no recording.");
        assertThat(Files.readString(folder.resolve("media.yaml")))
                .contains("# not used: cards/stray.mov has no reel's name in its name or in itself\n");
    }

    @Test
    void looksAtTakesWithoutLengthAndThoseThatNeverClosed() throws Exception {
        film("WIDE.mov", "10:01:00:00", 20);
        film("WHEEL.mov", "10:01:00:00", 20);
        Said said = match();
        assertThat(said.code()).isEqualTo(1);
        assertThat(said.err())
                .contains("covered: take 1 of 2026-03-02 by its originals")
                .doesNotContain("take 3");
        assertThat(lines(said))
                .contains(
                        "Take 2 of 2026-03-02: 10:00:40:00 to 10:00:40:00, 00:00.000",
                        "Take 3 of 2026-03-02: 10:01:00:00 to 10:01:01:01, 00:01.040",
                        "wheel - 100.0 %, 1 file all there");
    }

    @Test
    void givesTheCutListTheNamesAndTheTimecodeOfFiles() throws Exception {
        film("WIDE_1.mov", "10:00:03:00", 4);
        film("WIDE_2.mov", "10:00:07:00", 10);
        film("WHEEL.mov", "10:00:04:02", 8);
        Path list = folder.resolve("media.yaml");
        Said said = match("--take", "1", "--write", list.toString());
        assertThat(said.out()).contains("Written: " + list);
        assertThat(Files.readString(list))
                .contains("- { file: \"cards/WHEEL.mov\", start: \"10:00:04:02\", frames: 200, at: \"10:00:04:00\" }");
        assertThat(match("--write", list.toString()).code()).isEqualTo(2);
        Path edl = folder.resolve("a.edl");
        Said cut = Said.by(
                "cutlist", folder.toString(), "--take", "1", "--media", list.toString(), "--write", edl.toString());
        assertThat(cut.code()).isZero();
        assertThat(Files.readAllLines(edl))
                .containsSubsequence(
                        "* FROM CLIP NAME:  WIDE_1.mov",
                        "002  WIDE     V     C        10:00:07:00 10:00:08:00 01:00:03:00 01:00:04:00",
                        "* FROM CLIP NAME:  WIDE_2.mov",
                        "003  WHEEL    V     C        10:00:08:02 10:00:10:02 01:00:04:00 01:00:06:00",
                        "* FROM CLIP NAME:  WHEEL.mov");
        Said other = Said.by("cutlist", folder.toString(), "--media", list.toString());
        assertThat(other.code()).isEqualTo(1);
        assertThat(other.err()).contains("take 3 of 2026-03-02 from 10:01:00:00 is not in the list of media");
    }

    @Test
    void saysWhereTheListIsWrong() throws Exception {
        Path list = Files.writeString(folder.resolve("media.yaml"), "media: 1\ntakes: { take: 1 }\n");
        Said cut = Said.by("cutlist", folder.toString(), "--media", list.toString());
        assertThat(cut.code()).isEqualTo(2);
        assertThat(cut.err()).startsWith(list + ":2:8: expected a list of takes, found a map");
    }

    @Test
    void refusesWhatMakesNoSense() {
        assertThat(Said.by("match", folder.toString()).code()).isEqualTo(2);
        assertThat(Said.by("match", folder.toString(), folder.resolve("none").toString())
                        .err())
                .contains("there is no such folder");
        assertThat(match("--take", "9").code()).isEqualTo(2);
        assertThat(match("--take", "x").code()).isEqualTo(2);
    }

    @Test
    void needsFfprobe() throws Exception {
        Files.writeString(cards.resolve("WIDE.mov"), "");
        MatchRun run = new MatchRun(new TakeOptions(), Optional.empty());
        run.read(folder);
        assertThatThrownBy(() -> run.match(List.of(cards), new Ffprobe(Programs.in(folder))))
                .isInstanceOf(MissingProgramException.class);
    }
}
