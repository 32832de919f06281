package instep.edit;

import static org.assertj.core.api.Assertions.assertThat;

import instep.cutlist.Mark;
import instep.cutlist.Refinements;
import instep.cutlist.Sound;
import instep.cutlist.Take;
import instep.cutlist.Timeline;
import instep.time.FrameRate;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import org.junit.jupiter.api.Test;

/**
 * The layout of CMX 3600, as public readers of it take it apart: the columns are those of pycmx (fixed widths, two blanks behind the number), the rest what the OpenTimelineIO
 * adapter cmx_3600 1.1.0, pycmx and python-edl all accept. The standard itself (SMPTE 258M) is sold, not public.
 */
class EdlWriterTest {
    /** Widths of the columns of an event, each followed by blanks. */
    private static final int[] WIDTHS = {3, 8, 4, 4, 3, 11, 11, 11, 11};

    private static final int[] BLANKS = {2, 1, 2, 1, 1, 1, 1, 1, 0};

    private static List<String> lines(Timeline timeline) {
        Written written = Format.EDL.write(timeline);
        assertThat(written.documents()).hasSize(1);
        return lines(written.documents().get(0).text());
    }

    private static List<String> lines(String text) {
        assertThat(text).endsWith("\r\n");
        return List.of(text.split("\r\n", -1)).subList(0, text.split("\r\n", -1).length - 1);
    }

    private static List<List<String>> events(List<String> lines) {
        return lines.stream()
                .filter(line -> line.matches("[0-9].*"))
                .map(EdlWriterTest::columns)
                .toList();
    }

    private static List<String> columns(String line) {
        assertThat(line).hasSize(76);
        List<String> columns = new ArrayList<>();
        int at = 0;
        for (int i = 0; i < WIDTHS.length; i++) {
            columns.add(line.substring(at, at + WIDTHS[i]).strip());
            at += WIDTHS[i];
            assertThat(line.substring(at, at + BLANKS[i])).isBlank();
            at += BLANKS[i];
        }
        return columns;
    }

    @Test
    void beginsWithTitleAndCountingModeAndABlankLine() {
        List<String> lines = lines(Timelines.lesson(Timelines.DROP, Sound.NONE));
        assertThat(lines.subList(0, 3)).containsExactly("TITLE: LESSON", "FCM: NON-DROP FRAME", "");
        assertThat(lines.get(3)).startsWith("001  ");
    }

    /** A source whose timecode is not straight cannot be found by one in and one out: the shot is in two events. */
    @Test
    void writesAShotInTwoEventsWhereTimecodeJumps() {
        Timeline timeline = Timelines.of(
                Timelines.jumping(), Refinements.NONE, Timelines.layout(FrameRate.R25, new Sound(false, "wide"), 0));
        List<List<String>> events = events(lines(timeline));
        assertThat(events)
                .extracting(event -> event.get(1) + " " + event.get(2) + " " + String.join(" ", event.subList(5, 9)))
                .containsExactly(
                        "WIDE V 10:00:00:00 10:00:02:00 01:00:00:00 01:00:02:00",
                        "WIDE AA 10:00:00:00 10:00:03:00 01:00:00:00 01:00:03:00",
                        "WHEEL V 10:00:02:00 10:00:03:00 01:00:02:00 01:00:03:00",
                        "WHEEL V 01:00:00:00 01:00:03:00 01:00:03:00 01:00:06:00",
                        "WIDE AA 01:00:00:00 01:00:03:00 01:00:03:00 01:00:06:00");
    }

    @Test
    void writesCutsInFixedColumnsAsLongOnBothSides() {
        assertThat(events(lines(Timelines.lesson(Timelines.DROP, Sound.NONE))))
                .containsExactly(
                        List.of(
                                "001",
                                "WIDE",
                                "V",
                                "C",
                                "",
                                "10:00:00:00",
                                "10:00:02:00",
                                "01:00:00:00",
                                "01:00:02:00"),
                        List.of(
                                "002",
                                "WHEEL",
                                "V",
                                "C",
                                "",
                                "10:00:02:00",
                                "10:00:04:20",
                                "01:00:02:00",
                                "01:00:04:20"),
                        List.of(
                                "003",
                                "HANDS",
                                "V",
                                "C",
                                "",
                                "10:00:06:10",
                                "10:00:08:00",
                                "01:00:04:20",
                                "01:00:06:10"),
                        List.of(
                                "004",
                                "WIDE",
                                "V",
                                "C",
                                "",
                                "10:00:08:00",
                                "10:00:10:00",
                                "01:00:06:10",
                                "01:00:08:10"));
    }

    @Test
    void namesTheClipBelowEachEventAndPutsMarksAtTheirRecordTimecode() {
        List<String> lines = lines(Timelines.lesson(Timelines.DROP, Sound.NONE));
        assertThat(lines)
                .containsSubsequence(
                        "* FROM CLIP NAME:  WIDE TAKE 1",
                        "* LOC: 01:00:01:05 BLUE    CHAPTER CENTRE THE \"CLAY\", & <PRESS>",
                        "* FROM CLIP NAME:  HANDS TAKE 1",
                        "* LOC: 01:00:04:20 RED     RETAKE",
                        "* LOC: 01:00:08:00 GREEN   CLEAN");
        for (int i = 3; i < lines.size(); i++) {
            boolean event = Character.isDigit(lines.get(i).charAt(0));
            assertThat(event ? lines.get(i + 1) : lines.get(i)).matches("\\* (FROM CLIP NAME|LOC|REEL).*");
        }
    }

    @Test
    void saysWhereAFlaggedPassageEnds() {
        assertThat(lines(Timelines.lesson(Timelines.FLAG, Sound.NONE)))
                .contains("* LOC: 01:00:04:20 RED     RETAKE THIS AGAIN UNTIL 01:00:06:10");
    }

    @Test
    void cutsTheSoundWithThePicturesWhereItFollows() {
        assertThat(events(lines(Timelines.lesson(Timelines.DROP, Sound.FOLLOWS))))
                .extracting(event -> event.get(2))
                .containsExactly("AA/V", "AA/V", "AA/V", "AA/V");
    }

    @Test
    void keepsOneAnglesSoundOverCutsAndInTheOrderOfTheRecordSide() {
        List<List<String>> events = events(lines(Timelines.lesson(Timelines.DROP, Sound.of("wide"))));
        assertThat(events)
                .filteredOn(event -> event.get(2).equals("AA"))
                .containsExactly(
                        List.of(
                                "002",
                                "WIDE",
                                "AA",
                                "C",
                                "",
                                "10:00:00:00",
                                "10:00:04:20",
                                "01:00:00:00",
                                "01:00:04:20"),
                        List.of(
                                "005",
                                "WIDE",
                                "AA",
                                "C",
                                "",
                                "10:00:06:10",
                                "10:00:10:00",
                                "01:00:04:20",
                                "01:00:08:10"));
        assertThat(events).extracting(event -> event.get(7)).isSorted();
    }

    /**
     * Frames and labels of ST 12-1 drop-frame counting: 1799 is 00:00:59;29, 1800 is 00:01:00;02, 17982 is 00:10:00;00, 107891 is 00:59:59;29, 107892 is 01:00:00;00 (read from OpenTimelineIO
     * 0.18.1 and by stepping libltc 1.3.2 over a day).
     */
    @Test
    void countsDropFrameOverMinutesAndTheHourOnBothSides() {
        Take take = Timelines.take(
                List.of("wide", "wheel", "wide", "hands"), List.of(), 0, 1_800, 17_982, 107_892, 107_892 + 1_800);
        Timeline timeline =
                Timelines.of(take, Refinements.NONE, Timelines.layout(FrameRate.R29_97_DROP, Sound.NONE, 0));
        List<String> lines = lines(timeline);
        assertThat(lines.get(1)).isEqualTo("FCM: DROP FRAME");
        assertThat(events(lines))
                .extracting(event -> event.subList(5, 9))
                .containsExactly(
                        List.of("00:00:00;00", "00:01:00;02", "01:00:00;00", "01:01:00;02"),
                        List.of("00:01:00;02", "00:10:00;00", "01:01:00;02", "01:10:00;00"),
                        List.of("00:10:00;00", "01:00:00;00", "01:10:00;00", "02:00:00;00"),
                        List.of("01:00:00;00", "01:01:00;02", "02:00:00;00", "02:01:00;02"));
    }

    /** ST 12-1: 59.94 drops four labels, so frame 3600 is 00:01:00;04 and 215784 is 01:00:00;00 (OpenTimelineIO 0.18.1). */
    @Test
    void countsDropFrameAtTwiceTheRateAndSaysThatTheFormatWasNotMadeForIt() {
        Take take = Timelines.take(List.of("wide", "wheel"), List.of(), 0, 3_600, 215_784);
        Written written = Format.EDL.write(
                Timelines.of(take, Refinements.NONE, Timelines.layout(FrameRate.R59_94_DROP, Sound.NONE, 0)));
        assertThat(events(lines(written.documents().get(0).text())))
                .extracting(event -> event.subList(5, 9))
                .containsExactly(
                        List.of("00:00:00;00", "00:01:00;04", "01:00:00;00", "01:01:00;04"),
                        List.of("00:01:00;04", "01:00:00;00", "01:01:00;04", "02:00:00;00"));
        assertThat(written.losses()).anyMatch(loss -> loss.contains("30 frames a second"));
    }

    @Test
    void goesOnInAnotherFileAfterTheHighestNumber() {
        int shots = 2 * EdlWriter.MOST_EVENTS + 1;
        List<String> angles = new ArrayList<>();
        long[] frames = new long[shots + 1];
        for (int i = 0; i < shots; i++) {
            angles.add(i % 2 == 0 ? "wide" : "wheel");
            frames[i + 1] = 25L * (i + 1);
        }
        Written written = Format.EDL.write(Timelines.of(
                Timelines.take(angles, List.of(), frames),
                Refinements.NONE,
                Timelines.layout(FrameRate.R25, Sound.NONE, 0)));
        assertThat(written.documents()).extracting(Written.Document::tag).containsExactly("1", "2", "3");
        List<List<List<String>>> files = written.documents().stream()
                .map(document -> events(lines(document.text())))
                .toList();
        assertThat(files).extracting(List::size).containsExactly(999, 999, 1);
        assertThat(files.get(1).get(0).get(0)).isEqualTo("001");
        assertThat(files.get(1).get(998).get(0)).isEqualTo("999");
        // One goes on where the other ends.
        assertThat(files.get(1).get(0).get(7)).isEqualTo(files.get(0).get(998).get(8));
        assertThat(written.documents().get(2).text()).startsWith("TITLE: LESSON PART 3\r\nFCM: ");
        assertThat(written.losses()).anyMatch(loss -> loss.contains("3 files"));
    }

    @Test
    void givesTwoReelsThatWouldBeAlikeDifferentNamesAndSaysSo() {
        Timeline timeline = Timelines.withReels(
                Timelines.take(List.of("a", "b", "c", "d", "e"), List.of(), 0, 25, 50, 75, 100, 125),
                FrameRate.R25,
                Map.of("a", "Wheel camera A", "b", "Wheel camera B", "c", "WHEEL_CA", "d", "BL"));
        Written written = Format.EDL.write(timeline);
        List<String> lines = lines(written.documents().get(0).text());
        assertThat(events(lines))
                .extracting(event -> event.get(1))
                .containsExactly("WHEEL_C2", "WHEEL_C3", "WHEEL_CA", "BL2", "AX")
                .allMatch(reel -> reel.matches("[A-Z0-9_]{1,8}"));
        assertThat(lines).contains("* REEL WHEEL_C2 IS Wheel camera A", "* REEL WHEEL_C3 IS Wheel camera B");
        assertThat(written.losses())
                .contains("the reel Wheel camera A is called WHEEL_C2", "the reel BL is called BL2")
                .anyMatch(loss -> loss.contains("unknown source"));
    }

    @Test
    void saysThatTimecodePassesMidnight() {
        Take take = Timelines.take(List.of("wide", "wheel"), List.of(), 2_159_900, 2_159_950, 2_160_100);
        Written written =
                Format.EDL.write(Timelines.of(take, Refinements.NONE, Timelines.layout(FrameRate.R25, Sound.NONE, 0)));
        assertThat(written.documents().get(0).text()).contains("23:59:58:00 00:00:04:00 01:00:02:00 01:00:08:00");
        assertThat(written.losses()).anyMatch(loss -> loss.contains("source timecode passes midnight"));
    }

    @Test
    void isPlainAsciiWhateverTheMarksSay() {
        Take take = Timelines.take(List.of("wide"), List.of(new Mark("note", "Töpfe\nund 茶碗", 10)), 0, 100);
        String text = Format.EDL
                .write(Timelines.of(take, Refinements.NONE, Timelines.layout(FrameRate.R25, Sound.NONE, 0)))
                .documents()
                .get(0)
                .text();
        assertThat(text).matches("[\\x20-\\x7e\r\n]*").contains("NOTE TOPFE UND __");
    }
}
