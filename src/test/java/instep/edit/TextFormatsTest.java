package instep.edit;

import static org.assertj.core.api.Assertions.assertThat;

import instep.cutlist.Mark;
import instep.cutlist.Refinements;
import instep.cutlist.Sound;
import instep.cutlist.Take;
import instep.cutlist.Timeline;
import instep.time.FrameRate;
import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** Tables, cues and scripts. */
class TextFormatsTest {
    /** W3C WebVTT, section 4: a block of a cue is an identifier, a line of times, and text without "-->" or blank lines. */
    private static final Pattern CUE = Pattern.compile(
            "(?<id>[^\n]*)\n(?<from>[0-9]{2,}:[0-5][0-9]:[0-5][0-9]\\.[0-9]{3}) --> (?<to>[0-9]{2,}:[0-5][0-9]:[0-5][0-9]\\.[0-9]{3})\n(?<text>[^\n]+)");

    @TempDir
    private Path folder = Path.of("");

    private static String text(Format format, Timeline timeline, int which) {
        return format.write(timeline).documents().get(which).text();
    }

    private static List<String> cues(String file) {
        assertThat(file).matches("(?s)WEBVTT [^\n]*\n(\n.*)?").endsWith("\n");
        List<String> blocks = List.of(file.strip().split("\n\n"));
        return blocks.subList(1, blocks.size()).stream()
                .map(block -> {
                    Matcher cue = CUE.matcher(block);
                    assertThat(cue.matches()).as(block).isTrue();
                    assertThat(cue.group("to")).isGreaterThan(cue.group("from"));
                    assertThat(cue.group("text")).doesNotContain("-->", "<");
                    return cue.group("from") + " " + cue.group("to") + " " + cue.group("text");
                })
                .toList();
    }

    @Test
    void chaptersFollowEachOtherToTheEnd() {
        Timeline timeline = Timelines.lesson(Timelines.DROP, Sound.NONE);
        assertThat(cues(text(Format.VTT, timeline, 0)))
                .containsExactly(
                        "00:00:00.000 00:00:01.200 Lesson",
                        "00:00:01.200 00:00:08.400 centre the \"clay\", &amp; &lt;press&gt;");
    }

    @Test
    void marksAreCuesInTheOrderOfTheProgramme() {
        Timeline timeline = Timelines.lesson(Timelines.FLAG, Sound.NONE);
        assertThat(cues(text(Format.VTT, timeline, 1)))
                .containsExactly(
                        "00:00:01.200 00:00:03.200 chapter: centre the \"clay\", &amp; &lt;press&gt;",
                        "00:00:04.800 00:00:06.400 retake: this again",
                        "00:00:05.200 00:00:07.200 note: in what goes",
                        "00:00:06.400 00:00:08.400 retake",
                        "00:00:09.600 00:00:11.600 clean");
    }

    /** Frame 107892 at 30000/1001 is 3599.9964 s from the beginning: 3 ms before the hour. */
    @Test
    void cuesCountTimeAndNotLabels() {
        Take take = Timelines.take(
                List.of("wide"), List.of(new Mark("chapter", "glaze\n\nall --> of it", 107_892)), 0, 2 * 107_892);
        Timeline timeline =
                Timelines.of(take, Refinements.NONE, Timelines.layout(FrameRate.R29_97_DROP, Sound.NONE, 0));
        assertThat(cues(text(Format.VTT, timeline, 0)))
                .containsExactly(
                        "00:00:00.000 00:59:59.996 Lesson", "00:59:59.996 01:59:59.993 glaze all --&gt; of it");
    }

    /** Read back by Python's own csv module. */
    @Test
    void tablesAreReadAsTheyWereMeantByAnotherReader() throws Exception {
        Timeline timeline = Timelines.lesson(Timelines.DROP, Sound.NONE);
        assertThat(pythonReads(text(Format.CSV, timeline, 0)))
                .containsExactly(
                        "take|shot|angle|reel|source in|source out|record in|record out|frames|length|kept in|kept out|proxy|original",
                        "1|1|wide|WIDE|10:00:00:00|10:00:02:00|01:00:00:00|01:00:02:00|50|00:02.000|10:00:00:00|10:00:02:10|proxies/WIDE.mp4|/cards/WIDE 1.mov",
                        "1|2|wheel|WHEEL|10:00:02:00|10:00:04:20|01:00:02:00|01:00:04:20|70|00:02.800|10:00:01:15|10:00:05:05|proxies/WHEEL.mp4|/cards/WHEEL 1.mov",
                        "1|3|hands|HANDS|10:00:06:10|10:00:08:00|01:00:04:20|01:00:06:10|40|00:01.600|10:00:06:00|10:00:08:10|proxies/HANDS.mp4|/cards/HANDS 1.mov",
                        "1|4|wide|WIDE|10:00:08:00|10:00:10:00|01:00:06:10|01:00:08:10|50|00:02.000|10:00:07:15|10:00:10:00|proxies/WIDE.mp4|/cards/WIDE 1.mov");
        assertThat(pythonReads(text(Format.CSV, timeline, 1)))
                .containsExactly(
                        "take|mark|text|source|record|frames|shot",
                        "1|chapter|centre the \"clay\", & <press>|10:00:01:05|01:00:01:05|0|1",
                        "1|retake||10:00:06:10|01:00:04:20|0|3",
                        "1|clean||10:00:09:15|01:00:08:00|0|4",
                        "1|note|in what goes|10:00:05:05||0|");
    }

    private List<String> pythonReads(String csv) throws IOException, InterruptedException {
        // RFC 4180, section 2.1: lines end in CRLF.
        assertThat(csv.replace("\r\n", "")).doesNotContain("\n", "\r");
        Path file = Files.writeString(folder.resolve("table.csv"), csv);
        Process python = new ProcessBuilder(
                        "python3",
                        "-c",
                        "import csv,sys\nfor row in csv.reader(open(sys.argv[1], newline='', encoding='utf-8'), strict=True): print('|'.join(row))",
                        file.toString())
                .redirectErrorStream(true)
                .start();
        String read = new String(python.getInputStream().readAllBytes(), StandardCharsets.UTF_8);
        assertThat(python.waitFor()).as(read).isZero();
        return read.lines().toList();
    }

    /** FFmpeg's documentation of the concat demuxer, sections "Syntax" and "Quoting and escaping". */
    @Test
    void scriptsNameTheActiveFilesAndCutFromTheBeginningOfTheTake() {
        assertThat(text(Format.FFCONCAT, Timelines.lesson(Timelines.DROP, Sound.NONE), 0))
                .startsWith("""
                        ffconcat version 1.0
                        file '/cards/WIDE 1.mov'
                        inpoint 0.000000
                        outpoint 2.000000
                        file '/cards/WHEEL 1.mov'
                        inpoint 2.000000
                        outpoint 4.800000
                        """);
    }

    @Test
    void scriptsQuoteQuotationMarks() {
        Timeline timeline = Timelines.withReels(Timelines.lesson(), FrameRate.R25, java.util.Map.of("wide", "it's"));
        Written written = Format.FFCONCAT.write(timeline);
        assertThat(written.documents().get(0).text()).contains("file 'it'\\''s'\n");
        assertThat(written.losses()).anyMatch(loss -> loss.startsWith("2 shots have neither"));
    }

    /** Frame 1 of 30000/1001 is at 33366.67 µs: rounded up, a packet at an out point would still be before it. */
    @Test
    void scriptsRoundDown() {
        Take take = Timelines.take(List.of("wide", "wheel"), List.of(), 0, 1, 2);
        Timeline timeline = Timelines.of(take, Refinements.NONE, Timelines.layout(FrameRate.R29_97, Sound.NONE, 0));
        assertThat(text(Format.FFCONCAT, timeline, 0)).contains("outpoint 0.033366\n", "inpoint 0.033366\n");
    }
}
