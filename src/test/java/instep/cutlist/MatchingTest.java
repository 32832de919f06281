package instep.cutlist;

import static org.assertj.core.api.Assertions.assertThat;

import instep.time.FrameRate;
import instep.time.Timecode;
import java.util.List;
import java.util.stream.Stream;
import org.junit.jupiter.api.Test;

/** Files are found by names, timecode, rate, size and date; what is not used is named with its reason. */
class MatchingTest {
    private static final String DAY = "2026-03-02";
    private static final Recording.Picture LARGE = new Recording.Picture(1920, 1080, "prores", 150_000_000);
    private static final Recording.Picture SMALL = new Recording.Picture(640, 360, "h264", 1_000_000);
    private static final List<Slate.Angle> ANGLES =
            List.of(angle("wide", "WIDE"), angle("wheel", "WHEEL"), angle("hands", "A001"));
    /** From 10:00:00:00 for ten seconds. */
    private static final Slate TAKE = slate(1, DAY, "10:00:00:00", 250);

    private static Slate.Angle angle(String name, String reel) {
        return new Slate.Angle(name, reel, "", 0);
    }

    private static Slate slate(long take, String day, String from, long frames) {
        return slate(take, day, from, frames, ANGLES);
    }

    private static Slate slate(long take, String day, String from, long frames, List<Slate.Angle> angles) {
        long in = Timecode.parse(from, FrameRate.R25).frame();
        return new Slate(take(take, in, frames, List.of()), day, FrameRate.R25, angles);
    }

    private static Take take(long number, long in, long frames, List<Jump> jumps) {
        List<Shot> shots = frames == 0 ? List.of() : List.of(new Shot(number, "wide", in, in + frames));
        return new Take(number, in, in + frames, true, shots, List.of(), jumps);
    }

    private static Recording file(String name, String start, long frames) {
        return file(name, start, frames, LARGE);
    }

    private static Recording file(String name, String start, long frames, Recording.Picture picture) {
        Recording.Rate rate = new Recording.Rate(25, 1, true);
        return new Recording("/media/" + name, name, "", start, rate, frames, picture, 1, 0, 0, DAY, "");
    }

    private static Recording dated(Recording file, String day) {
        return new Recording(
                file.file(),
                file.name(),
                file.reel(),
                file.start(),
                file.rate(),
                file.frames(),
                file.picture(),
                1,
                0,
                0,
                day,
                "");
    }

    private static Recording at(Recording file, long numerator, long denominator, boolean steady) {
        Recording.Rate rate = new Recording.Rate(numerator, denominator, steady);
        return new Recording(
                file.file(),
                file.name(),
                file.reel(),
                file.start(),
                rate,
                file.frames(),
                file.picture(),
                1,
                0,
                0,
                file.day(),
                "");
    }

    private static Recording withReel(Recording file, String reel) {
        return new Recording(
                file.file(),
                file.name(),
                reel,
                file.start(),
                file.rate(),
                file.frames(),
                file.picture(),
                1,
                0,
                0,
                file.day(),
                "");
    }

    private static Matching match(Recording... files) {
        return Matching.of(List.of(TAKE), List.of(files));
    }

    /** The files of an angle, each with the label of its first frame and its length. */
    private static List<String> pieces(Matching matching, int take, String angle, Media media) {
        return matching.takes().get(take).of(angle).pieces(media).stream()
                .map(piece -> piece.file().substring("/media/".length()) + " "
                        + Timecode.wrapped(FrameRate.R25, piece.in()) + " " + (piece.out() - piece.in()))
                .toList();
    }

    private static List<String> originals(Matching matching, String angle) {
        return pieces(matching, 0, angle, Media.ORIGINAL);
    }

    private static List<String> unused(Matching matching) {
        return matching.unused().stream()
                .map(one -> one.recording().name() + " " + one.why())
                .toList();
    }

    @Test
    void findsTheAngleByTheReelInTheFileItsNameOrItsFolder() {
        Matching matching = match(
                file("WIDE_0001.mov", "10:00:00:00", 250),
                file("card two/wheel/0001.mov", "10:00:00:00", 250),
                withReel(file("clip-wide-like.mov", "10:00:00:00", 250), "a001"),
                file("WIDER_0001.mov", "10:00:00:00", 250),
                file("A0012.mov", "10:00:00:00", 250));
        assertThat(originals(matching, "wide")).containsExactly("WIDE_0001.mov 10:00:00:00 250");
        assertThat(originals(matching, "wheel")).containsExactly("card two/wheel/0001.mov 10:00:00:00 250");
        assertThat(originals(matching, "hands")).containsExactly("clip-wide-like.mov 10:00:00:00 250");
        assertThat(unused(matching))
                .containsExactly(
                        "A0012.mov has no reel's name in its name or in itself",
                        "WIDER_0001.mov has no reel's name in its name or in itself");
    }

    @Test
    void findsAReelThatGoesOnWithAnotherSortOfCharacter() {
        Matching matching = match(file("A001C003_260302.mov", "10:00:00:00", 250));
        assertThat(originals(matching, "hands")).hasSize(1);
    }

    @Test
    void takesAPatternOfTheAngleBeforeAnyName() {
        List<Slate.Angle> angles =
                List.of(new Slate.Angle("wide", "WIDE", "cam-b/*.MOV", 0), new Slate.Angle("wheel", "WHEEL", "", 0));
        Matching matching = Matching.of(
                List.of(slate(1, DAY, "10:00:00:00", 250, angles)),
                List.of(
                        file("day/cam-b/wheel.mov", "10:00:00:00", 250),
                        file("day/cam-c/wide.mov", "10:00:00:00", 250)));
        assertThat(originals(matching, "wide")).containsExactly("day/cam-b/wheel.mov 10:00:00:00 250");
        assertThat(unused(matching)).hasSize(1).first().asString().startsWith("day/cam-c/wide.mov ");
    }

    @Test
    void saysWhichAnglesAFileMayBeOf() {
        assertThat(unused(match(file("wide wheel.mov", "10:00:00:00", 250))))
                .containsExactly("wide wheel.mov may be of the angles wheel and wide");
        List<Slate.Angle> angles = List.of(angle("left", "CLAY"), angle("right", "POTS"));
        Matching matching = Matching.of(
                List.of(slate(1, DAY, "10:00:00:00", 250, angles)),
                List.of(file("clay and pots.mov", "10:00:00:00", 250)));
        assertThat(unused(matching)).containsExactly("clay and pots.mov may be of the angles left and right");
    }

    @Test
    void putsTheFilesOfARecorderThatSplitsOneAfterTheOther() {
        Matching matching = match(
                file("WIDE_2.mov", "10:00:04:00", 100),
                file("WIDE_1.mov", "09:59:59:00", 125),
                file("WIDE_3.mov", "10:00:08:00", 500));
        assertThat(originals(matching, "wide"))
                .containsExactly(
                        "WIDE_1.mov 09:59:59:00 125", "WIDE_2.mov 10:00:04:00 100", "WIDE_3.mov 10:00:08:00 500");
        assertThat(matching.unused()).isEmpty();
    }

    @Test
    void appliesTheOffsetOfAnAngle() {
        List<Slate.Angle> angles = List.of(new Slate.Angle("wide", "WIDE", "", 5));
        Matching matching = Matching.of(
                List.of(slate(1, DAY, "10:00:00:00", 250, angles)), List.of(file("WIDE.mov", "10:00:00:05", 250)));
        assertThat(originals(matching, "wide")).containsExactly("WIDE.mov 10:00:00:00 250");
        assertThat(matching.takes().get(0).of("wide").originals().get(0).shift())
                .isEqualTo(5);
    }

    @Test
    void givesAFileToEachTakeThatLiesInIt() {
        Slate second = slate(2, DAY, "10:01:00:00", 100);
        Matching matching = Matching.of(
                List.of(TAKE, second),
                List.of(file("WIDE.mov", "09:59:00:00", 10_000), file("WHEEL.mov", "10:01:00:00", 100)));
        assertThat(pieces(matching, 0, "wide", Media.ORIGINAL)).hasSize(1);
        assertThat(pieces(matching, 1, "wide", Media.ORIGINAL)).hasSize(1);
        assertThat(pieces(matching, 0, "wheel", Media.ORIGINAL)).isEmpty();
        assertThat(pieces(matching, 1, "wheel", Media.ORIGINAL)).hasSize(1);
    }

    @Test
    void namesAFileThatWasRecordedBetweenTakes() {
        assertThat(unused(match(file("WIDE.mov", "11:00:00:00", 250))))
                .containsExactly("WIDE.mov was recorded when there was no take: it begins at 11:00:00:00");
    }

    @Test
    void refusesAnotherRate() {
        assertThat(unused(match(at(file("WIDE.mov", "10:00:00:00", 250), 30_000, 1_001, true))))
                .containsExactly("WIDE.mov runs at 29.97 frames a second, but the take at 25");
        // As a program makes a fraction of the length that it has measured.
        assertThat(originals(match(at(file("WIDE.mov", "10:00:00:00", 250), 24_999, 1_000, true)), "wide"))
                .hasSize(1);
    }

    @Test
    void refusesLabelsThatAreCountedInAnotherWay() {
        Slate drop = new Slate(take(1, 1_078_920, 300, List.of()), DAY, FrameRate.R29_97_DROP, ANGLES);
        assertThat(drop.from()).hasToString("10:00:00;00");
        Recording counted = at(file("WIDE.mov", "10:00:00:00", 250), 30_000, 1_001, true);
        assertThat(unused(Matching.of(List.of(drop), List.of(counted))))
                .containsExactly("WIDE.mov begins at 10:00:00:00, which is no label at 29.97-drop");
        Recording dropped = at(file("WIDE.mov", "10:00:00;00", 250), 30_000, 1_001, true);
        assertThat(Matching.of(List.of(drop), List.of(dropped)).unused()).isEmpty();
    }

    @Test
    void refusesWhatHasNoFixedPlaces() {
        Recording sound = new Recording(
                "/media/WIDE.wav",
                "WIDE.wav",
                "",
                "10:00:00:00",
                new Recording.Rate(0, 1, true),
                0,
                new Recording.Picture(0, 0, "", 0),
                2,
                0,
                0,
                DAY,
                "");
        assertThat(unused(match(
                        at(file("WIDE.mov", "10:00:00:00", 250), 25, 1, false), file("WIDE-2.mov", "", 250), sound)))
                .containsExactly(
                        "WIDE-2.mov has no timecode, so it is not known where it begins",
                        "WIDE.mov has a variable frame rate, so its frames have no fixed place: make a copy of a constant rate",
                        "WIDE.wav has sound only");
    }

    @Test
    void tellsProxiesByTheNameOfAFolder() {
        Matching matching = match(
                file("Proxy/WIDE.mov", "10:00:00:00", 99, LARGE), file("WIDE_proxy.mov", "10:00:02:00", 250, LARGE));
        assertThat(pieces(matching, 0, "wide", Media.PROXY)).hasSize(2);
        assertThat(originals(matching, "wide")).isEmpty();
    }

    @Test
    void tellsProxiesByFewerPixelsAtTheSameTimeAndKnowsThemWhereTheOriginalIsMissing() {
        Matching matching = match(
                file("WIDE.mov", "10:00:00:00", 250, LARGE),
                file("WIDE_S.mov", "10:00:00:00", 250, SMALL),
                file("WHEEL_S.mov", "10:00:00:00", 250, SMALL));
        assertThat(originals(matching, "wide")).containsExactly("WIDE.mov 10:00:00:00 250");
        assertThat(pieces(matching, 0, "wide", Media.PROXY)).containsExactly("WIDE_S.mov 10:00:00:00 250");
        assertThat(originals(matching, "wheel")).isEmpty();
        assertThat(pieces(matching, 0, "wheel", Media.PROXY)).containsExactly("WHEEL_S.mov 10:00:00:00 250");
    }

    @Test
    void tellsProxiesOfTheSameSizeByTheirBits() {
        Recording.Picture thin = new Recording.Picture(1920, 1080, "h264", 5_000_000);
        Matching matching =
                match(file("WIDE.mov", "10:00:00:00", 250, LARGE), file("WIDE_S.mov", "10:00:00:00", 250, thin));
        assertThat(pieces(matching, 0, "wide", Media.PROXY)).containsExactly("WIDE_S.mov 10:00:00:00 250");
    }

    @Test
    void namesCopies() {
        Matching matching = match(
                file("WIDE.mov", "10:00:00:00", 250),
                file("backup/WIDE.mov", "10:00:00:00", 250),
                file("WIDE-part.mov", "10:00:02:00", 25));
        assertThat(originals(matching, "wide")).hasSize(1);
        assertThat(unused(matching))
                .containsExactly(
                        "WIDE-part.mov shows nothing that is not in WIDE.mov as well",
                        "backup/WIDE.mov shows nothing that is not in WIDE.mov as well");
    }

    @Test
    void tellsDaysApartByTheDateOfAFile() {
        Slate next = slate(1, "2026-03-03", "10:00:00:00", 250);
        Recording second = dated(file("card2/WIDE.mov", "10:00:00:00", 250), "2026-03-03");
        Recording other = dated(file("card3/WIDE.mov", "10:00:00:00", 250), "2020-01-01");
        Matching matching =
                Matching.of(List.of(TAKE, next), List.of(file("card1/WIDE.mov", "10:00:00:00", 250), second, other));
        assertThat(pieces(matching, 0, "wide", Media.ORIGINAL)).containsExactly("card1/WIDE.mov 10:00:00:00 250");
        assertThat(pieces(matching, 1, "wide", Media.ORIGINAL)).containsExactly("card2/WIDE.mov 10:00:00:00 250");
        assertThat(unused(matching))
                .containsExactly(
                        "card3/WIDE.mov may be of take 1 of 2026-03-02 or take 1 of 2026-03-03, which have the same"
                                + " timecode: neither its date nor a take's number in its name tells which");
    }

    @Test
    void takesTheDateOfTheFileWhereTheRecorderHasWrittenNone() {
        Slate next = slate(1, "2026-03-03", "10:00:00:00", 250);
        Recording plain = file("WIDE.mov", "10:00:00:00", 250);
        Recording written = new Recording(
                plain.file(),
                plain.name(),
                "",
                plain.start(),
                plain.rate(),
                plain.frames(),
                plain.picture(),
                1,
                0,
                0,
                "",
                "2026-03-03");
        Matching matching = Matching.of(List.of(TAKE, next), List.of(written));
        assertThat(pieces(matching, 0, "wide", Media.ORIGINAL)).isEmpty();
        assertThat(pieces(matching, 1, "wide", Media.ORIGINAL)).hasSize(1);
        // It may be that of a copy, so it is no reason for doubt.
        assertThat(Matching.of(List.of(TAKE), List.of(written)).doubts()).isEmpty();
    }

    @Test
    void leavesAFileOfAnotherDayForOneOfTheDayAndDoubtsItWhereThereIsNone() {
        Recording old = dated(file("old/WIDE.mov", "10:00:00:00", 250), "2026-03-01");
        Matching both = match(old, file("WIDE.mov", "10:00:00:00", 250));
        assertThat(originals(both, "wide")).containsExactly("WIDE.mov 10:00:00:00 250");
        assertThat(unused(both))
                .containsExactly("old/WIDE.mov is of 2026-03-01, and WIDE.mov has the pictures of 2026-03-02");
        Matching alone = match(old);
        assertThat(originals(alone, "wide")).hasSize(1);
        assertThat(alone.doubts())
                .containsExactly(
                        "old/WIDE.mov is dated 2026-03-01, but fits take 1 of 2026-03-02: look whether it is of"
                                + " that day");
    }

    @Test
    void tellsTakesThatBeginAtTheSameLabelByTheNumberInTheName() {
        Slate second = slate(2, DAY, "10:00:00:00", 100);
        Matching matching = Matching.of(
                List.of(TAKE, second),
                Stream.of("WIDE-take1.mov", "WIDE_take-2.mov", "WIDE.mov")
                        .map(name -> file(name, "10:00:00:00", 250))
                        .toList());
        assertThat(pieces(matching, 0, "wide", Media.ORIGINAL)).containsExactly("WIDE-take1.mov 10:00:00:00 250");
        assertThat(pieces(matching, 1, "wide", Media.ORIGINAL)).containsExactly("WIDE_take-2.mov 10:00:00:00 250");
        assertThat(unused(matching)).hasSize(1).first().asString().startsWith("WIDE.mov may be of take 1");
    }

    @Test
    void placesAFileOfATakeThatPassesMidnight() {
        Slate late = slate(1, DAY, "23:59:58:00", 250);
        Matching matching = Matching.of(
                List.of(late), List.of(file("WIDE.mov", "23:59:50:00", 500), file("WHEEL.mov", "00:00:01:00", 500)));
        assertThat(matching.takes().get(0).of("wide").originals().get(0).in())
                .isEqualTo(late.take().in() - 200);
        assertThat(matching.takes().get(0).of("wheel").originals().get(0).in())
                .isEqualTo(late.take().in() + 75);
    }

    /** The generator of all timecode was set an hour on, four seconds into the take. */
    @Test
    void placesFilesOnBothSidesOfAJumpOfTimecode() {
        Take jumping = take(1, 900_000, 250, List.of(new Jump(900_100, 90_000)));
        Slate slate = new Slate(jumping, DAY, FrameRate.R25, ANGLES);
        Matching matching = Matching.of(
                List.of(slate),
                List.of(file("WIDE_1.mov", "09:59:59:00", 150), file("WIDE_2.mov", "11:00:05:00", 500)));
        Footage wide = matching.takes().get(0).of("wide");
        assertThat(wide.originals())
                .containsExactly(
                        new Piece("/media/WIDE_1.mov", 899_975, 900_125, 0),
                        new Piece("/media/WIDE_2.mov", 900_125, 900_625, 90_000));
        MediaList list = MediaList.of(matching.takes());
        assertThat(list.takes().get(0).angles().get("wide"))
                .isEqualTo(new MediaList.Files(
                        List.of(),
                        List.of(
                                held("/media/WIDE_1.mov", "09:59:59:00", 150),
                                held("/media/WIDE_2.mov", "11:00:05:00", 500))));
        assertThat(MediaList.placed(list.takes().get(0), slate).of("wide")).isEqualTo(wide);
    }

    private static MediaList.Held held(String file, String start, long frames) {
        Timecode label = Timecode.parse(start, FrameRate.R25);
        return new MediaList.Held(file, label, label, frames);
    }

    @Test
    void findsNothingForATakeOfNoLength() {
        Matching matching =
                Matching.of(List.of(slate(1, DAY, "10:00:05:00", 0)), List.of(file("WIDE.mov", "10:00:00:00", 250)));
        assertThat(originals(matching, "wide")).isEmpty();
        assertThat(unused(matching)).hasSize(1);
    }

    @Test
    void tellsReelsApartThatBeginAlikeForEightCharacters() {
        List<Slate.Angle> angles = List.of(angle("wide", "CLAYROOM"), angle("wheel", "CLAYROOM-TWO"));
        Matching matching = Matching.of(
                List.of(slate(1, DAY, "10:00:00:00", 250, angles)),
                List.of(file("CLAYROOM.mov", "10:00:00:00", 250), file("CLAYROOM-TWO.mov", "10:00:00:00", 250)));
        assertThat(originals(matching, "wide")).containsExactly("CLAYROOM.mov 10:00:00:00 250");
        assertThat(originals(matching, "wheel")).containsExactly("CLAYROOM-TWO.mov 10:00:00:00 250");
    }

    @Test
    void knowsAnAngleWithoutAReelByItsOwnName() {
        List<Slate.Angle> angles = List.of(angle("glaze", ""));
        Matching matching = Matching.of(
                List.of(slate(1, DAY, "10:00:00:00", 250, angles)), List.of(file("glaze.mov", "10:00:00:00", 250)));
        assertThat(originals(matching, "glaze")).hasSize(1);
    }

    @Test
    void tellsWhereTheFilesOfACameraHavePicturesOfDifferentSizes() {
        Recording.Picture lower = new Recording.Picture(1280, 720, "prores", 60_000_000);
        Matching matching = match(
                file("WIDE_1.mov", "10:00:00:00", 125),
                file("WIDE_2.mov", "10:00:05:00", 125, lower),
                file("WHEEL.mov", "10:00:00:00", 250, lower),
                file("proxy/WIDE.mp4", "10:00:00:00", 250, SMALL));
        assertThat(originals(matching, "wide")).hasSize(2);
        assertThat(matching.doubts())
                .containsExactly(
                        "WIDE_2.mov has pictures of another size than WIDE_1.mov, 1280x720 and not 1920x1080, and both are originals of"
                                + " wide in take 1 of 2026-03-02: look whether that is meant");
    }

    @Test
    void tellsWhereProxiesAreTurnedOnTheirSide() {
        Matching matching = match(
                file("proxy/WIDE_1.mp4", "10:00:00:00", 125, SMALL),
                file("proxy/WIDE_2.mp4", "10:00:05:00", 125, new Recording.Picture(360, 640, "h264", 1_000_000)));
        assertThat(matching.doubts())
                .singleElement()
                .asString()
                .contains("360x640 and not 640x360", "both are proxies of wide");
    }
}
