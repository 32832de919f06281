package instep.command;

import static org.assertj.core.api.Assertions.assertThat;

import instep.daemon.WrittenJournal;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.stream.Stream;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/** From a journal on disk to what a person sees and the files that they get. */
class CutlistCommandTest {
    private static final String DAY = "2026-03-02";
    private static final String CONFIG = """
            instep: 1
            timecode: { rate: 25 }
            angles: { wide: { reel: WIDE }, wheel: { reel: WHEEL }, hands: { reel: HANDS } }
            machine: { states: { standby: } }
            """;

    @TempDir
    private Path folder = Path.of("");

    private Said cutlist(String... options) {
        List<String> args = new ArrayList<>(List.of("cutlist", folder.toString()));
        args.addAll(List.of(options));
        return Said.by(args.toArray(String[]::new));
    }

    private String file(String name) {
        return folder.resolve(name).toString();
    }

    private List<String> files() throws IOException {
        try (Stream<Path> files = Files.list(folder)) {
            return files.map(file -> file.getFileName().toString())
                    .filter(file -> !file.startsWith("journal"))
                    .sorted()
                    .toList();
        }
    }

    private static WrittenJournal lesson() {
        return new WrittenJournal(DAY)
                .start(CONFIG)
                .open(100, 1)
                .cut(100, "wide")
                .cut(200, "wheel")
                .back(300, "wide")
                .mark(380, "retake")
                .edge(390)
                .cut(500, "hands")
                .close(600, 1)
                .stop(700);
    }

    @Test
    void changesNothingThatNobodyAskedFor() throws IOException {
        lesson().into(folder);
        Said said = cutlist();
        assertThat(said.code()).isZero();
        assertThat(said.err()).isEmpty();
        assertThat(said.out()).contains("Take 1 of 2026-03-02: 00:20.000 recorded, 00:20.000 in the cut list, 4 shots");
        assertThat(said.shots())
                .containsExactly(
                        "1 wide WIDE 10:00:04:00 10:00:08:00 01:00:00:00 01:00:04:00 00:04.000",
                        "2 wheel WHEEL 10:00:08:00 10:00:12:00 01:00:04:00 01:00:08:00 00:04.000",
                        "3 wide WIDE 10:00:12:00 10:00:20:00 01:00:08:00 01:00:16:00 00:08.000",
                        "4 hands HANDS 10:00:20:00 10:00:24:00 01:00:16:00 01:00:20:00 00:04.000");
        assertThat(said.out()).containsPattern("mark  retake +10:00:15:05 +01:00:11:05");
    }

    @Test
    void refinesByOptionsAndNamesWhatEachHasDone() throws IOException {
        lesson().into(folder);
        Said said = cutlist(
                "--lead", "6f", "--lead-returning", "2f", "--retake", "drop", "--head", "1s", "--start", "02:00:00:00");
        assertThat(said.code()).isZero();
        assertThat(said.out())
                .containsPattern("head +0 cuts taken away, 1 passage left out, 00:01.000")
                .containsPattern("retake +1 cut taken away, 1 passage left out, 00:03.200")
                .containsPattern("lead +2 cuts moved")
                .containsPattern("left out +10:00:12:00 to 10:00:15:05, 00:03.200  retake");
        assertThat(said.shots())
                .containsExactly(
                        "1 wide WIDE 10:00:05:00 10:00:07:19 02:00:00:00 02:00:02:19 00:02.760",
                        "2 wheel WHEEL 10:00:07:19 10:00:12:00 02:00:02:19 02:00:07:00 00:04.240",
                        "3 wide WIDE 10:00:15:05 10:00:19:19 02:00:07:00 02:00:11:14 00:04.560",
                        "4 hands HANDS 10:00:19:19 10:00:24:00 02:00:11:14 02:00:15:20 00:04.240");
    }

    @Test
    void refinesAsTheConfigurationInTheJournalSaysUnlessAnOptionSaysOtherwise() throws IOException {
        new WrittenJournal(DAY)
                .start(CONFIG + "cutlist: { lead: { going: 10f, returning: 5f }, start: \"03:00:00:00\" }\n")
                .open(0, 1)
                .cut(0, "wide")
                .cut(100, "wheel")
                .back(200, "wide")
                .close(300, 1)
                .stop(300)
                .into(folder);
        assertThat(cutlist().shots())
                .containsExactly(
                        "1 wide WIDE 10:00:00:00 10:00:03:15 03:00:00:00 03:00:03:15 00:03.600",
                        "2 wheel WHEEL 10:00:03:15 10:00:07:20 03:00:03:15 03:00:07:20 00:04.200",
                        "3 wide WIDE 10:00:07:20 10:00:12:00 03:00:07:20 03:00:12:00 00:04.200");
        assertThat(cutlist("--lead", "0f").shots()).anyMatch(shot -> shot.contains("WHEEL 10:00:04:00 10:00:08:00"));
        Path mine = folder.resolve("mine.yaml");
        Files.writeString(mine, CONFIG + "cutlist: { lead: 1f }\n");
        assertThat(cutlist("--config", mine.toString()).shots())
                .anyMatch(shot -> shot.contains("WHEEL 10:00:03:24 10:00:07:24"));
    }

    @Test
    void takesTheTimeAtWhichTheGearConfirmedACut() throws IOException {
        new WrittenJournal(DAY)
                .start(CONFIG)
                .open(0, 1)
                .cut(0, "wide")
                .confirmed(3, "wide")
                .cut(100, "wheel")
                .confirmed(104, "wheel")
                .cut(298, "hands")
                .close(300, 1)
                .stop(400)
                .into(folder);
        assertThat(cutlist().shots())
                .containsExactly(
                        "1 wide WIDE 10:00:00:00 10:00:04:04 01:00:00:00 01:00:04:04 00:04.160",
                        "2 wheel WHEEL 10:00:04:04 10:00:11:23 01:00:04:04 01:00:11:23 00:07.760",
                        "3 hands HANDS 10:00:11:23 10:00:12:00 01:00:11:23 01:00:12:00 00:00.080");
    }

    @Test
    void writesEachFormatAndTellsWhatItCannotSay() throws IOException {
        lesson().into(folder);
        Said said = cutlist(
                "--write",
                file("a.edl") + "," + file("a.otio"),
                "-w",
                file("a.vtt"),
                "-w",
                file("a.csv"),
                "-w",
                file("a.ffconcat"));
        assertThat(said.code()).isZero();
        assertThat(files())
                .containsExactly("a-marks.csv", "a-marks.vtt", "a.csv", "a.edl", "a.ffconcat", "a.otio", "a.vtt");
        assertThat(said.out()).contains("Written: " + file("a.edl"));
        for (String format : List.of(".edl", ".otio", ".vtt", ".csv", ".ffconcat")) {
            assertThat(said.err()).contains("instep: about the " + format + " file: ");
        }
        assertThat(Files.readString(folder.resolve("a.edl")))
                .startsWith("TITLE: TAKE 1 OF 2026-03-02\r\nFCM: NON-DROP FRAME\r\n\r\n001  WIDE ");
    }

    @Test
    void writesAFileForEachTakeIfThereAreSeveral() throws IOException {
        takes().into(folder);
        assertThat(cutlist("-w", file("a.edl")).code()).isZero();
        assertThat(files()).containsExactly("a-take1.edl", "a-take2.edl");
        assertThat(cutlist("--take", "2", "-w", file("b.edl")).code()).isZero();
        assertThat(files()).contains("b.edl");
        assertThat(Files.readString(folder.resolve("b.edl"))).contains("10:00:12:00 10:00:16:00");
    }

    private static WrittenJournal takes() {
        return new WrittenJournal(DAY)
                .start(CONFIG)
                .open(0, 1)
                .cut(0, "wide")
                .close(200, 1)
                .open(300, 2)
                .cut(300, "wheel")
                .close(400, 2)
                .stop(500);
    }

    @Test
    void tellsTakesOfTwoDaysApart() throws IOException {
        takes().into(folder);
        new WrittenJournal("2026-03-03")
                .start(CONFIG)
                .open(0, 1)
                .cut(0, "hands")
                .close(50, 1)
                .stop(60)
                .into(folder);
        assertThat(cutlist("--take", "1", "-w", file("a.edl")).code()).isZero();
        assertThat(files()).containsExactly("a-take1-2.edl", "a-take1.edl");
        Said said = cutlist("--take", "1", "--day", "2026-03-03");
        assertThat(said.shots()).hasSize(1).first().asString().contains("HANDS");
    }

    @Test
    void neverWritesOverAFileUnlessToldTo() throws IOException {
        lesson().into(folder);
        Path mine = folder.resolve("a.edl");
        Files.writeString(mine, "mine");
        Said refused = cutlist("-w", mine.toString());
        assertThat(refused.code()).isEqualTo(2);
        assertThat(refused.err()).contains("a.edl is there already").contains("--replace");
        assertThat(mine).hasContent("mine");
        assertThat(cutlist("--replace", "-w", mine.toString()).code()).isZero();
        assertThat(Files.readString(mine)).startsWith("TITLE:");
        assertThat(files()).containsExactly("a.edl");
    }

    @Test
    void saysThatAFolderIsNotThere() throws IOException {
        lesson().into(folder);
        Said said = cutlist("-w", file("none/a.edl"));
        assertThat(said.code()).isEqualTo(2);
        assertThat(said.err())
                .isEqualTo("instep: " + file("none/a.edl") + " cannot be written: " + file("none")
                        + " is no folder in which this user may write." + System.lineSeparator());
        assertThat(folder.resolve("none")).doesNotExist();
    }

    @Test
    void readsUpToATornTail() throws IOException {
        lesson().raw("{\"seq\":99,\"at\":\"20").into(folder);
        Said said = cutlist();
        assertThat(said.code()).isZero();
        assertThat(said.shots()).hasSize(4);
    }

    @Test
    void namesADamagedLineAndGoesOn() throws IOException {
        new WrittenJournal(DAY)
                .start(CONFIG)
                .open(0, 1)
                .raw("{\"seq\":4,\"kind\":\"cut\"}\n")
                .cut(0, "wide")
                .close(100, 1)
                .into(folder);
        Said said = cutlist();
        assertThat(said.code()).isEqualTo(1);
        assertThat(said.err()).contains("journal-2026-03-02.jsonl:4: damaged line");
        assertThat(said.shots()).hasSize(1);
    }

    @Test
    void endsATakeThatWasNeverClosedWithTheLastThatIsKnown() throws IOException {
        new WrittenJournal(DAY)
                .start(CONFIG)
                .open(0, 1)
                .cut(0, "wide")
                .cut(100, "wheel")
                .edge(199)
                .into(folder);
        Said said = cutlist();
        assertThat(said.out()).contains("never closed");
        assertThat(said.shots()).last().asString().contains("10:00:04:00 10:00:08:00");
    }

    @Test
    void writesNothingOfATakeWithoutFrames() throws IOException {
        new WrittenJournal(DAY)
                .start(CONFIG)
                .open(50, 1)
                .cut(50, "wide")
                .close(50, 1)
                .stop(60)
                .into(folder);
        Said said = cutlist("-w", file("a.edl"));
        assertThat(said.code()).isZero();
        assertThat(said.out()).contains("Nothing is left of it.");
        assertThat(said.err()).contains("take 1 has no frames: no file is written of it");
        assertThat(files()).isEmpty();
    }

    @Test
    void namesAnAngleWithoutReelAndABeginningOfWhichNothingIsKnown() throws IOException {
        new WrittenJournal(DAY)
                .start(CONFIG)
                .open(0, 1)
                .cut(50, "glaze")
                .close(100, 1)
                .stop(100)
                .into(folder);
        Said said = cutlist("-w", file("a.edl"));
        assertThat(said.code()).isZero();
        assertThat(said.err())
                .contains(
                        "the angle glaze of take 1 has no reel",
                        "does not tell what was on air at the beginning of take 1");
        assertThat(Files.readString(folder.resolve("a.edl"))).contains("001  AX       V", "002  AX       V");
    }

    @Test
    void aTakeAfterAClockStepHasTheTimecodeOfTheNewClock() throws IOException {
        new WrittenJournal(DAY)
                .start(CONFIG)
                .sync(0, 0)
                .open(0, 1)
                .cut(0, "wide")
                .close(100, 1)
                .sync(200, 90_000)
                .open(90_100, 2)
                .cut(90_100, "wide")
                .close(90_150, 2)
                .into(folder);
        assertThat(cutlist().shots())
                .containsExactly(
                        "1 wide WIDE 10:00:00:00 10:00:04:00 01:00:00:00 01:00:04:00 00:04.000",
                        "1 wide WIDE 11:00:04:00 11:00:06:00 01:00:00:00 01:00:02:00 00:02.000");
    }

    @Test
    void cutsWithoutReelsWhereTheConfigurationCannotBeRead() throws IOException {
        new WrittenJournal(DAY)
                .start("instep: 7\n")
                .open(0, 1)
                .cut(0, "wide")
                .close(100, 1)
                .into(folder);
        Said said = cutlist();
        assertThat(said.code()).isEqualTo(1);
        assertThat(said.err()).contains("the configuration in the journal cannot be read", "--config");
        assertThat(said.shots()).containsExactly("1 wide ? 10:00:00:00 10:00:04:00 01:00:00:00 01:00:04:00 00:04.000");
    }

    @Test
    void leavesOutATakeAtAnotherRateThanItsConfiguration() throws IOException {
        new WrittenJournal(DAY)
                .start(CONFIG, "50")
                .open(0, 1)
                .cut(0, "wide")
                .close(100, 1)
                .into(folder);
        Said said = cutlist();
        assertThat(said.code()).isEqualTo(1);
        assertThat(said.err()).contains("take 1 was recorded at 50, but the configuration says 25");
    }

    @ParameterizedTest
    @CsvSource(
            delimiter = '|',
            value = {
                "--take|third|expected the number of a take",
                "--take|9|there is no such take",
                "--day|monday|expected a date",
                "--write|lesson.txt|expected one that ends in .edl, .otio, .vtt, .csv, .ffconcat",
                "--lead|6|is no length of time",
                "--minimum-shot|-1s|is no length of time",
                "--retake|delete|--retake",
                "--start|1:00|--start \"1:00\" is no timecode",
                "--start|01:00:00;00|drop-frame"
            })
    void refusesWhatMeansNothing(String option, String value, String why) throws IOException {
        lesson().into(folder);
        Said said = cutlist(option, value);
        assertThat(said.code()).isEqualTo(2);
        assertThat(said.err()).contains(why).doesNotContain("\tat ");
    }

    @Test
    void saysThatNothingWasRecorded() throws IOException {
        new WrittenJournal(DAY).start(CONFIG).stop(10).into(folder);
        Said said = cutlist();
        assertThat(said.code()).isZero();
        assertThat(said.out()).isEqualTo(String.format("No take was recorded.%n"));
    }

    @Test
    void saysThatThereIsNoJournal() {
        Said said = Said.by("cutlist", folder.resolve("nothing").toString());
        assertThat(said.code()).isEqualTo(1);
        assertThat(said.err()).contains("nothing").doesNotContain("\tat ");
    }
}
