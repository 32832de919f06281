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

/** From a journal on disk to a page or a picture of characters. */
class ReportCommandTest {
    private static final String DAY = "2026-03-02";
    private static final String CONFIG = """
            instep: 1
            timecode: { rate: 25 }
            angles: { wide: { reel: WIDE }, wheel: { reel: WHEEL }, hands: { reel: HANDS } }
            machine: { states: { standby: } }
            """;

    @TempDir
    private Path folder = Path.of("");

    private Said report(String... options) {
        List<String> args = new ArrayList<>(List.of("report", folder.toString()));
        args.addAll(List.of(options));
        return Said.by(args.toArray(String[]::new));
    }

    private Path page() {
        return folder.resolve("lesson.html");
    }

    private List<String> files() throws IOException {
        try (Stream<Path> files = Files.list(folder)) {
            return files.map(file -> file.getFileName().toString())
                    .filter(file -> !file.startsWith("journal"))
                    .sorted()
                    .toList();
        }
    }

    private WrittenJournal lesson() {
        return new WrittenJournal(DAY)
                .start(CONFIG)
                .record(10, "link", "\"gear\":\"mixer\",\"state\":\"up\"")
                .open(100, 1)
                .cut(100, "wide")
                .record(101, "sent", "\"gear\":\"mixer\",\"what\":\"CUT 1\",\"ticket\":4,\"latency_us\":1500")
                .record(102, "reply", "\"gear\":\"mixer\",\"text\":\"OK\",\"ticket\":4")
                .record(102, "reply", "\"gear\":\"mixer\",\"text\":\"OK again\",\"ticket\":4")
                .cut(200, "wheel")
                .record(
                        250,
                        "missed",
                        "\"gear\":\"mixer\",\"what\":\"CUT 2\",\"why\":\"the link was down\",\"ticket\":8")
                .mark(380, "retake")
                .cut(500, "hands")
                .close(600, 1)
                .record(650, "fault", "\"text\":\"after the take\"")
                .stop(700);
    }

    /** What {@code cutlist} tells on standard error is in the report, too, once for all takes. */
    @Test
    void tellsWhatTheFormatsCannotSay() throws IOException {
        String renamed = CONFIG.replace("reel: WHEEL ", "reel: WHEEL-CAMERA-1 ");
        new WrittenJournal(DAY)
                .start(renamed)
                .open(100, 1)
                .cut(100, "wide")
                .cut(200, "wheel")
                .close(300, 1)
                .open(400, 2)
                .cut(400, "wheel")
                .close(500, 2)
                .stop(700)
                .into(folder);
        Said told = Said.by(
                "cutlist",
                folder.toString(),
                "--write",
                Stream.of(".edl", ".otio", ".vtt", ".csv", ".ffconcat")
                        .map(end -> folder.resolve("lesson" + end).toString())
                        .collect(java.util.stream.Collectors.joining(",")));
        List<String> losses = told.err()
                .lines()
                .filter(line -> line.contains("about the ."))
                .map(line -> line.replaceFirst(".*about the (\\.[a-z]+) file: ", "$1 "))
                .toList();
        assertThat(losses).hasSizeGreaterThan(8).contains(".edl the reel WHEEL-CAMERA-1 is called WHEEL_CA");
        Said text = report("--text", "--width", "200", "-o", page().toString());
        assertThat(text.out().lines()).containsOnlyOnceElementsOf(losses);
        String page = Files.readString(page());
        for (String loss : losses) {
            String row = loss.replaceFirst(" ", "</th><td class=\"words\">");
            assertThat(page.replace("class=\"word\"", "class=\"words\"").replace("&#39;", "'"))
                    .containsOnlyOnce(row);
        }
    }

    @Test
    void writesAPageOfATake() throws IOException {
        lesson().into(folder);
        Said said = report("-o", page().toString());
        assertThat(said.code()).isZero();
        assertThat(said.err()).isEmpty();
        assertThat(said.out()).isEqualTo("Written: " + page() + System.lineSeparator());
        assertThat(files()).containsExactly("lesson.html");
        assertThat(Files.readString(page()))
                .contains("<h2 id=\"take-1\">Take 1 of 2026-03-02</h2>")
                .contains("1.5\u00a0ms / 1.5\u00a0ms / 1.5\u00a0ms")
                // The answer came a frame after the message: 40 ms, and the second answer is none of its own.
                .contains("40.0\u00a0ms / 40.0\u00a0ms / 40.0\u00a0ms")
                .contains("CUT 2: the link was down")
                .doesNotContain("after the take")
                .endsWith("</html>\n");
    }

    /** Each take has the troubles and figures that were its own, however many runs it took. */
    @Test
    void tellsOfEachTakeItsOwnWhereOneWasResumed() throws IOException {
        new WrittenJournal(DAY)
                .start(CONFIG)
                .open(100, 1)
                .cut(100, "wide")
                .record(110, "sent", "\"gear\":\"mixer\",\"what\":\"CUT 1\",\"ticket\":4,\"latency_us\":1000")
                .record(120, "fault", "\"text\":\"before the crash\"")
                .start(CONFIG)
                .resume(200, 1)
                .cut(200, "wide")
                .record(210, "sent", "\"gear\":\"mixer\",\"what\":\"CUT 1\",\"ticket\":4,\"latency_us\":3000")
                .record(220, "fault", "\"text\":\"after the crash\"")
                .close(300, 1)
                .record(
                        350,
                        "config",
                        "\"file\":\"other.yaml\",\"sha256\":\"00\",\"text\":\"" + CONFIG.replace("\n", "\\n") + "\"")
                .open(400, 2)
                .cut(400, "wheel")
                .record(410, "sent", "\"gear\":\"mixer\",\"what\":\"CUT 2\",\"ticket\":4,\"latency_us\":7000")
                .record(420, "fault", "\"text\":\"in the second take\"")
                .close(500, 2)
                .open(600, 3)
                .cut(600, "hands")
                .record(620, "fault", "\"text\":\"in the third take\"")
                .close(700, 3)
                .into(folder);
        assertThat(report("-o", page().toString()).err()).isEmpty();
        String[] takes = Files.readString(page()).split("<h2 id=\"take-");
        assertThat(takes).hasSize(4);
        // The last that is known of it is the frame of its last record.
        assertThat(takes[1])
                .contains("For 00:03.160 of the take Instep was not there.")
                .doesNotContain("ran without a break");
        assertThat(takes[2]).contains("ran without a break");
        assertThat(takes[1])
                .contains(
                        "before the crash",
                        "after the crash",
                        "10:00:08:20",
                        "2",
                        "1.0\u00a0ms / 3.0\u00a0ms / 3.0\u00a0ms")
                .contains("lesson.yaml")
                .doesNotContain("in the second take", "in the third take", "other.yaml");
        assertThat(takes[2])
                .contains("other.yaml", "in the second take", "7.0\u00a0ms / 7.0\u00a0ms / 7.0\u00a0ms")
                .doesNotContain("the crash", "in the third take");
        assertThat(takes[3])
                .contains("in the third take")
                .doesNotContain("the crash", "in the second take", "7.0\u00a0ms /");
    }

    @Test
    void drawsTheTakeOnTheTerminalAndRefinesAsTheCutListDoes() throws IOException {
        lesson().into(folder);
        Said said = report("--text", "--width", "64", "--retake", "drop");
        assertThat(said.code()).isZero();
        assertThat(said.out().lines().toList())
                .containsSubsequence(
                        "              10:00:04:00                            10:00:24:00",
                        "on air",
                        "  wide        ##########",
                        "  wheel                 ##############################",
                        "  hands                                               ##########",
                        "cut list",
                        "  wide        ##########xxxxxxxxxxxxxxxxxx",
                        "  wheel                 xxxxxxxxxxxxxxxxxx############",
                        "  hands                 xxxxxxxxxxxxxxxxxx            ##########")
                .anyMatch(line -> line.startsWith("!! 10:00:10:00 missed mixer: CUT 2"));
        assertThat(files()).isEmpty();
    }

    @Test
    void tellsOfEachTakeInAnIndexAndPicksOne() throws IOException {
        takes().into(folder);
        assertThat(report("-o", page().toString()).code()).isZero();
        assertThat(Files.readString(page()))
                .contains("href=\"#take-1\"", "href=\"#take-2\"", "id=\"take-2\">Take 2 of");
        assertThat(report("--take", "2", "--replace", "-o", page().toString()).code())
                .isZero();
        assertThat(Files.readString(page())).contains("Take 2 of").doesNotContain("Take 1 of", "<nav");
    }

    private static WrittenJournal takes() {
        return new WrittenJournal(DAY)
                .start(CONFIG)
                .open(0, 1)
                .cut(0, "wide")
                .record(10, "fault", "\"text\":\"in the first\"")
                .close(200, 1)
                .open(300, 2)
                .cut(300, "wheel")
                .record(310, "fault", "\"text\":\"in the second\"")
                .close(400, 2)
                .stop(500);
    }

    @Test
    void keepsWhatHappenedToTheTakeInWhichItHappened() throws IOException {
        takes().into(folder);
        report("--take", "1", "-o", page().toString());
        assertThat(Files.readString(page())).contains("in the first").doesNotContain("in the second");
        report("--take", "2", "--replace", "-o", page().toString());
        assertThat(Files.readString(page())).contains("in the second").doesNotContain("in the first");
    }

    @Test
    void tellsHowTimecodeFromOutsideRan() throws IOException {
        WrittenJournal journal = new WrittenJournal(DAY).start(CONFIG);
        journal.framed(50, "sync", "\"source\":\"ltc\",\"state\":\"locked\",\"began\":2000000000")
                .open(100, 1)
                .cut(100, "wide");
        journal.framed(
                        2_100,
                        "sync",
                        "\"source\":\"ltc\",\"state\":\"follows\",\"began\":84000000000,\"uncertainty_us\":900,\"rate_ppm\":10")
                .framed(5_000, "sync", "\"source\":\"ltc\",\"state\":\"freewheeling\",\"began\":200000000000")
                .framed(5_050, "sync", "\"source\":\"ltc\",\"state\":\"locked\",\"began\":202000000000")
                .close(6_000, 1)
                .into(folder);
        report("-o", page().toString());
        assertThat(Files.readString(page()))
                .contains("From ltc, which was locked when the take began. For 00:02.000 it went on by itself.")
                .contains(
                        "Frames were set a little 1 time to follow it. A frame began at most 0.9 ms earlier or later than it says. It ran 10 millionths quicker");
    }

    @Test
    void faultsStandWhereTheyHappenedAlsoBehindAJumpOfTimecode() throws IOException {
        new WrittenJournal(DAY)
                .start(CONFIG)
                .framed(0, "sync", "\"source\":\"ltc\",\"state\":\"locked\",\"began\":0")
                .open(0, 1)
                .cut(0, "wide")
                .sync(200, 90_200)
                .record(300, "fault", "\"text\":\"late\"")
                .closeAt(400, 90_400, 1)
                .into(folder);
        Said said = report("--text", "--width", "54");
        assertThat(said.out().lines().toList())
                .contains(
                        "              10:00:00:00                  11:00:16:00",
                        "  faults                                    !")
                .contains("!! 11:00:12:00 fault late");
    }

    @Test
    void saysOnThePageThatTheJournalIsDamaged() throws IOException {
        new WrittenJournal(DAY)
                .start(CONFIG)
                .open(0, 1)
                .raw("{\"seq\":4,\"kind\":\"cut\"}\n")
                .cut(0, "wide")
                .close(100, 1)
                .into(folder);
        Said said = report("-o", page().toString());
        assertThat(said.code()).isEqualTo(1);
        assertThat(said.err()).contains("journal-2026-03-02.jsonl:4: damaged line");
        assertThat(Files.readString(page())).contains("journal-2026-03-02.jsonl:4: damaged line");
    }

    @Test
    void tellsWhatTheRecordedFilesCover() throws IOException {
        lesson().into(folder);
        Path media = Files.writeString(folder.resolve("media.yaml"), """
                media: 1
                takes:
                  - take: 1
                    day: 2026-03-02
                    rate: 25
                    from: "10:00:04:00"
                    angles:
                      "wide":
                        proxy: []
                        original:
                          - { file: "WIDE.mov", start: "10:00:00:00", frames: 150 }
                """);
        // Of 20 s the file shows 2 s, and of the shot, which is the first 4 s, the first half.
        assertThat(report("--media", media.toString(), "-o", page().toString()).code())
                .isZero();
        assertThat(Files.readString(page()))
                .contains("Recorded files", "10.0\u00a0%")
                .contains("10:00:06:00 to 10:00:24:00 (the programme needs 00:02.000 of it)")
                .contains(">original<")
                .doesNotContain(">proxy<");
        Files.writeString(media, "media: 1\ntakes: []\n");
        Said unknown = report("--media", media.toString(), "--replace", "-o", page().toString());
        assertThat(unknown.code()).isEqualTo(1);
        assertThat(unknown.err()).contains("is not in the list of media");
    }

    @Test
    void neverWritesOverAPageUnlessToldToAndLeavesNoHalfOne() throws IOException {
        lesson().into(folder);
        Files.writeString(page(), "mine");
        Said refused = report("-o", page().toString());
        assertThat(refused.code()).isEqualTo(2);
        assertThat(refused.err()).contains("lesson.html is there already");
        assertThat(page()).hasContent("mine");
        Said nowhere = report("-o", folder.resolve("none/a.html").toString());
        assertThat(nowhere.code()).isEqualTo(2);
        assertThat(nowhere.err())
                .contains("none/a.html cannot be written", "is no folder in which this user may write");
        assertThat(folder.resolve("none")).doesNotExist();
        assertThat(report("-o", page().toString(), "--replace", "--lead", "1").code())
                .isEqualTo(2);
        assertThat(page()).hasContent("mine");
        assertThat(files()).containsExactly("lesson.html");
    }

    @ParameterizedTest
    @CsvSource(
            delimiter = '|',
            value = {
                "--take|third|expected the number of a take",
                "--take|9|there is no such take",
                "--width|12|expected at least 40",
                "--lead|6|is no length of time"
            })
    void refusesWhatMeansNothing(String option, String value, String why) throws IOException {
        lesson().into(folder);
        Said said = report("--text", option, value);
        assertThat(said.code()).isEqualTo(2);
        assertThat(said.err()).contains(why).doesNotContain("\tat ");
    }

    @Test
    void asksWhereTo() throws IOException {
        lesson().into(folder);
        Said said = report();
        assertThat(said.code()).isEqualTo(2);
        assertThat(said.err()).contains("-o FILE.html", "--text");
    }

    @Test
    void writesNothingOfAJournalWithoutTakes() throws IOException {
        new WrittenJournal(DAY).start(CONFIG).stop(10).into(folder);
        Said said = report("-o", page().toString());
        assertThat(said.code()).isZero();
        assertThat(said.out()).isEqualTo(String.format("No take was recorded.%n"));
        assertThat(files()).isEmpty();
    }
}
