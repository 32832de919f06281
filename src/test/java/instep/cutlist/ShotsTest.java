package instep.cutlist;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import instep.cutlist.TakeEvent.Closed;
import instep.cutlist.TakeEvent.Cut;
import instep.cutlist.TakeEvent.Opened;
import instep.cutlist.TakeEvent.RunEnded;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import net.jqwik.api.Arbitraries;
import net.jqwik.api.Arbitrary;
import net.jqwik.api.Combinators;
import net.jqwik.api.ForAll;
import net.jqwik.api.Property;
import net.jqwik.api.Provide;
import org.junit.jupiter.api.Test;

class ShotsTest {
    @Test
    void aCutEndsOneShotAndBeginsTheNext() {
        assertThat(shots(
                        new Opened(1, 100),
                        new Cut("wide", 100),
                        new Cut("wheel", 140),
                        new Cut("wide", 190),
                        new Closed(1, 250)))
                .containsExactly(
                        new Shot(1, "wide", 100, 140), new Shot(1, "wheel", 140, 190), new Shot(1, "wide", 190, 250));
    }

    @Test
    void aCutOnTheFirstFrameLeavesNoEmptyShot() {
        assertThat(shots(new Cut("wide", 10), new Opened(1, 100), new Cut("wheel", 100), new Closed(1, 250)))
                .containsExactly(new Shot(1, "wheel", 100, 250));
    }

    @Test
    void aTakeBeginsWithWhatIsOnAir() {
        assertThat(shots(new Cut("wide", 10), new Opened(1, 100), new Closed(1, 250)))
                .containsExactly(new Shot(1, "wide", 100, 250));
    }

    @Test
    void aTakeOfWhichNobodySaysWhatIsOnAirHasAShotWithoutAnAngle() {
        assertThat(shots(new Opened(1, 100), new Cut("wheel", 120), new Closed(1, 250)))
                .containsExactly(new Shot(1, "", 100, 120), new Shot(1, "wheel", 120, 250));
    }

    @Test
    void theNextTakeBeginsWithTheLastAngleOfTheOneBefore() {
        assertThat(shots(
                        new Opened(1, 0), new Cut("hands", 0), new Closed(1, 10), new Opened(2, 20), new Closed(2, 30)))
                .containsExactly(new Shot(1, "hands", 0, 10), new Shot(2, "hands", 20, 30));
    }

    @Test
    void ofTwoCutsOnOneFrameTheLaterCounts() {
        assertThat(shots(
                        new Opened(1, 0),
                        new Cut("wide", 0),
                        new Cut("hands", 50),
                        new Cut("wheel", 50),
                        new Closed(1, 90)))
                .containsExactly(new Shot(1, "wide", 0, 50), new Shot(1, "wheel", 50, 90));
    }

    @Test
    void aCutThatIsTakenBackOnItsFrameIsNone() {
        assertThat(shots(
                        new Opened(1, 0),
                        new Cut("wide", 0),
                        new Cut("hands", 50),
                        new Cut("wide", 50),
                        new Closed(1, 90)))
                .containsExactly(new Shot(1, "wide", 0, 90));
    }

    @Test
    void aCutToWhatIsOnAirIsNone() {
        assertThat(shots(new Opened(1, 0), new Cut("wide", 0), new Cut("wide", 50), new Closed(1, 90)))
                .containsExactly(new Shot(1, "wide", 0, 90));
    }

    @Test
    void aCutStampedBeforeTheOneDecidedEarlierReplacesThatOne() {
        assertThat(shots(
                        new Opened(1, 0),
                        new Cut("wide", 0),
                        new Cut("wheel", 60),
                        new Cut("hands", 40),
                        new Closed(1, 90)))
                .containsExactly(new Shot(1, "wide", 0, 60), new Shot(1, "hands", 60, 90));
    }

    @Test
    void aCutStampedAtOrAfterTheEndIsNotInTheTake() {
        assertThat(shots(
                        new Opened(1, 0),
                        new Cut("wide", 0),
                        new Cut("wheel", 90),
                        new Closed(1, 90),
                        new Opened(2, 99),
                        new Closed(2, 100)))
                .containsExactly(new Shot(1, "wide", 0, 90), new Shot(2, "wheel", 99, 100));
    }

    @Test
    void aTakeThatNeverClosedEndsAfterTheLastFrameThatIsKnown() {
        assertThat(shots(new Opened(1, 0), new Cut("wide", 0), new Cut("wheel", 60)))
                .containsExactly(new Shot(1, "wide", 0, 60), new Shot(1, "wheel", 60, 61));
        assertThat(shots(new Opened(1, 0), new Cut("wide", 0), new Cut("wheel", 60), new RunEnded(75)))
                .containsExactly(new Shot(1, "wide", 0, 60), new Shot(1, "wheel", 60, 75));
        assertThat(shots(new Opened(1, 0), new Opened(2, 500), new Closed(2, 600)))
                .containsExactly(new Shot(1, "", 0, 1), new Shot(2, "", 500, 600));
    }

    @Test
    void afterARestartNobodyKnowsWhatIsOnAir() {
        assertThat(shots(new Cut("wide", 0), new RunEnded(20), new Opened(1, 30), new Closed(1, 40)))
                .containsExactly(new Shot(1, "", 30, 40));
    }

    @Test
    void aTakeOfNoFramesHasNoShots() {
        assertThat(shots(new Cut("wide", 0), new Opened(1, 30), new Closed(1, 30)))
                .isEmpty();
        assertThat(shots()).isEmpty();
        assertThatThrownBy(() -> new Shot(1, "wide", 5, 5)).hasMessageContaining("at least one frame");
    }

    /** The model paints frames one by one, in the order in which cuts were decided. */
    @Property
    void shotsTileTheTakeAndShowWhatWasPainted(@ForAll("cuts") List<Cut> cuts) {
        int open = 20;
        int close = 80;
        String[] painted = new String[close];
        Arrays.fill(painted, "");
        int from = open;
        for (Cut cut : cuts) {
            from = (int) Math.max(from, cut.frame());
            Arrays.fill(painted, Math.min(from, close), close, cut.angle());
        }
        List<TakeEvent> events = new ArrayList<>(cuts);
        events.add(0, new Opened(7, open));
        events.add(new Closed(7, close));

        long next = open;
        String before = "none";
        for (Shot shot : Shots.of(events)) {
            assertThat(shot.take()).isEqualTo(7);
            assertThat(shot.in()).isEqualTo(next);
            assertThat(shot.angle()).isNotEqualTo(before);
            for (long frame = shot.in(); frame < shot.out(); frame++) {
                assertThat(shot.angle()).as("frame " + frame).isEqualTo(painted[(int) frame]);
            }
            next = shot.out();
            before = shot.angle();
        }
        assertThat(next).isEqualTo(close);
    }

    @Provide
    Arbitrary<List<Cut>> cuts() {
        Arbitrary<String> angles = Arbitraries.of("wide", "wheel", "hands", "glaze");
        Arbitrary<Long> frames = Arbitraries.longs().between(0, 100);
        return Combinators.combine(angles, frames).as(Cut::new).list().ofMaxSize(12);
    }

    private static List<Shot> shots(TakeEvent... events) {
        return Shots.of(List.of(events));
    }
}
