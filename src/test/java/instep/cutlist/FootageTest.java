package instep.cutlist;

import static org.assertj.core.api.Assertions.assertThat;

import instep.time.FrameRate;
import java.util.List;
import java.util.Map;
import org.junit.jupiter.api.Test;

/** A programme over files that begin, end and are missing where they like. */
class FootageTest {
    private static final Take TAKE = new Take(
            1,
            1000,
            1400,
            true,
            List.of(new Shot(1, "wide", 1000, 1100), new Shot(1, "wheel", 1100, 1300), new Shot(1, "wide", 1300, 1400)),
            List.of());
    private static final Map<String, Footage> FILES = Map.of(
            "wide",
            new Footage("wide", "WIDE", List.of(), List.of(new Piece("w.mov", 990, 1350, 0))),
            "wheel",
            new Footage(
                    "wheel",
                    "WHEEL",
                    List.of(new Piece("p.mov", 900, 1200, 0), new Piece("q.mov", 1200, 1500, 0)),
                    List.of(new Piece("a.mov", 1000, 1150, 3), new Piece("b.mov", 1150, 1500, 3))));

    private static Timeline timeline(Sound sound, long handles) {
        Layout layout = new Layout(FrameRate.R25, 0, handles, Media.ORIGINAL, sound);
        return Timeline.over("Lesson", Refined.of(TAKE, Refinements.NONE), layout, FootageTest::files);
    }

    private static Footage files(String angle) {
        return FILES.getOrDefault(angle, new Footage(angle, "", List.of(), List.of()));
    }

    private static List<String> clips(List<Clip> clips) {
        return clips.stream()
                .map(clip -> clip.in() + "-" + clip.out() + " at " + clip.record() + " "
                        + clip.source().original() + "/" + clip.source().proxy())
                .toList();
    }

    @Test
    void cutsShotsWhereFilesBeginAndEnd() {
        assertThat(clips(timeline(Sound.NONE, 0).clips()))
                .containsExactly(
                        "1000-1100 at 0 w.mov/",
                        "1100-1150 at 100 a.mov/p.mov",
                        "1150-1200 at 150 b.mov/p.mov",
                        "1200-1300 at 200 b.mov/q.mov",
                        "1300-1350 at 300 w.mov/",
                        "1350-1400 at 350 /");
    }

    @Test
    void cutsTheSoundOfOneAngleOnlyWhereItsOwnFilesEnd() {
        assertThat(clips(timeline(Sound.of("wide"), 0).sound()))
                .containsExactly("1000-1350 at 0 w.mov/", "1350-1400 at 350 /");
    }

    @Test
    void countsASourceInTheTimecodeOfItsFile() {
        Timeline timeline = timeline(Sound.NONE, 0);
        assertThat(timeline.sourceIn(timeline.clips().get(1))).hasToString("00:00:44:03");
        assertThat(timeline.sourceOut(timeline.clips().get(1))).hasToString("00:00:46:03");
    }

    @Test
    void keepsWhatTheFileHasBeyondTheTake() {
        Timeline all = timeline(Sound.NONE, 0);
        assertThat(all.keptIn(all.clips().get(0))).isEqualTo(990);
        Timeline some = timeline(Sound.NONE, 30);
        assertThat(some.keptIn(some.clips().get(0))).isEqualTo(990);
        assertThat(some.keptOut(some.clips().get(0))).isEqualTo(1130);
        assertThat(some.keptOut(some.clips().get(4))).isEqualTo(1350);
    }

    @Test
    void tellsGapsAndWhetherTheProgrammeNeedsThem() {
        Timeline timeline = timeline(Sound.NONE, 0);
        Coverage wide = Coverage.of(timeline, files("wide"), Media.ORIGINAL);
        assertThat(wide.gaps()).containsExactly(new Coverage.Gap(1350, 1400, 50));
        assertThat(wide.permille()).isEqualTo(875);
        assertThat(wide.isEnough()).isFalse();
        Coverage small = Coverage.of(timeline, files("wide"), Media.PROXY);
        assertThat(small.gaps()).containsExactly(new Coverage.Gap(1000, 1400, 200));
        assertThat(Coverage.of(timeline, files("wheel"), Media.ORIGINAL).isEnough())
                .isTrue();
        Footage partly = new Footage("wheel", "", List.of(), List.of(new Piece("a.mov", 1050, 1399, 0)));
        Coverage enough = Coverage.of(timeline, partly, Media.ORIGINAL);
        assertThat(enough.gaps()).containsExactly(new Coverage.Gap(1000, 1050, 0), new Coverage.Gap(1399, 1400, 0));
        assertThat(enough.isEnough()).isTrue();
    }

    @Test
    void needsTheSoundOfAnAngleEvenWhereItIsNotSeen() {
        Coverage wide = Coverage.of(timeline(Sound.of("wide"), 0), files("wide"), Media.PROXY);
        assertThat(wide.gaps()).containsExactly(new Coverage.Gap(1000, 1400, 400));
    }
}
