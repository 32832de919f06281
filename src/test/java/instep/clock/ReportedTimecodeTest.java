package instep.clock;

import static org.assertj.core.api.Assertions.assertThat;

import instep.clock.Chase.News;
import instep.time.FrameRate;
import instep.time.Timecode;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;

/** What is told of timecode that gear reports; the gear is that of the rig. */
class ReportedTimecodeTest {
    private static final long SECOND = 1_000_000_000L;
    private static final FrameRate R25 = FrameRate.R25;

    private static ReportRig locked(long every, boolean isAsked) {
        ReportRig rig = new ReportRig(R25, 0, every, isAsked, 3);
        rig.cue(Timecode.parse("10:00:00:00", R25));
        rig.run(rig.now() + 60 * SECOND, false);
        assertThat(rig.heard.turns()).containsExactly(News.LOCKED);
        return rig;
    }

    /** Asked every two seconds, or told every half second, or with every frame. */
    @ParameterizedTest
    @CsvSource({"2000, true", "500, false", "40, false", "100, true"})
    void locksOnReportsThatAgree(long everyMillis, boolean isAsked) {
        ReportRig rig = locked(everyMillis * 1_000_000, isAsked);
        assertThat(rig.worstFrames()).isLessThanOrEqualTo(1);
        assertThat(rig.heard.troubles).isEmpty();
    }

    /** The label was shown half way between question and answer, as near as can be known; without jitter that is exact. */
    @Test
    void halvesTheRoundTrip() {
        HeardNews heard = new HeardNews();
        Chase chase = new Chase(R25, 10 * SECOND, 0, heard);
        ReportedTimecode reports = new ReportedTimecode(chase);
        Timecode from = Timecode.parse("10:00:00:00", R25);
        long[] phases = {0, 39_999_999, 20_000_000, 7_000_000, 33_000_000};
        for (int i = 0; i < phases.length; i++) {
            long shown = SECOND + i * SECOND + phases[i];
            reports.reported(from.plus(i * 25L), shown - 30_000_000, shown + 30_000_000);
        }
        assertThat(heard.turns()).containsExactly(News.LOCKED);
        assertThat(heard.line().nanosAt(from.frame())).isBetween(SECOND - 400_000, SECOND + 400_000);
        // Half of the round trip, for how that divides itself between the ways is not known, and the slack.
        assertThat(heard.qualities.get(heard.qualities.size() - 1).uncertaintyNanos())
                .isBetween(30_000_000L, 56_000_000L);
    }

    @ParameterizedTest
    @ValueSource(booleans = {true, false})
    void leavesOutASingleReportThatDoesNotFit(boolean isAsked) {
        ReportRig rig = new ReportRig(R25, 0, 200_000_000L, isAsked, 11);
        rig.cue(Timecode.parse("10:00:00:00", R25));
        rig.run(rig.now() + 1_000 * SECOND, false);
        assertThat(rig.outliers()).isGreaterThan(5);
        assertThat(rig.heard.turns()).containsExactly(News.LOCKED);
        assertThat(rig.worstFrames()).isLessThanOrEqualTo(1);
    }

    @ParameterizedTest
    @ValueSource(booleans = {true, false})
    void tellsAJumpWhenSeveralAgreeOnAnotherPlace(boolean isAsked) {
        ReportRig rig = locked(500_000_000L, isAsked);
        rig.cue(Timecode.parse("11:00:00:00", R25));
        rig.run(rig.now() + 10 * SECOND, false);
        assertThat(rig.heard.turns()).containsExactly(News.LOCKED, News.JUMPED);
        assertThat(rig.heard.line().at(rig.now()).toString()).startsWith("11:00:1");
    }

    /** A recorder whose timecode runs only while it records shows the same label in between. */
    @ParameterizedTest
    @CsvSource({"500, true", "500, false", "40, false", "20, true"})
    void doesNotFollowLabelsThatStandStill(long everyMillis, boolean isAsked) {
        ReportRig rig = locked(everyMillis * 1_000_000, isAsked);
        rig.halt();
        rig.run(rig.now() + 8 * SECOND, false);
        assertThat(rig.heard.turns()).containsExactly(News.LOCKED, News.FREEWHEELING);
        rig.run(rig.now() + 10 * SECOND, false);
        assertThat(rig.heard.turns()).containsExactly(News.LOCKED, News.FREEWHEELING, News.LOST);
        rig.roll();
        rig.run(rig.now() + 30 * SECOND, false);
        assertThat(rig.heard.turns()).endsWith(News.LOST, News.LOCKED);
        assertThat(rig.heard.line().at(rig.now()).toString()).startsWith("10:01:30:0");
    }

    @Test
    void freewheelsWhenReportsStayAway() {
        ReportRig rig = locked(500_000_000L, true);
        rig.hush(3 * SECOND);
        assertThat(rig.heard.turns()).containsExactly(News.LOCKED, News.FREEWHEELING);
        Chase.Quality quality = rig.heard.qualities.get(rig.heard.qualities.size() - 1);
        assertThat(quality.ageNanos()).isBetween(1_900_000_000L, 2_200_000_000L);
        rig.hush(10 * SECOND);
        assertThat(rig.heard.turns()).containsExactly(News.LOCKED, News.FREEWHEELING, News.LOST);
    }

    @ParameterizedTest
    @CsvSource({"true, 50", "true, -50", "false, 50", "false, -50"})
    void measuresHowFastItRuns(boolean isAsked, long ppm) {
        ReportRig rig = new ReportRig(R25, ppm * 1e-6, 500_000_000L, isAsked, 3);
        rig.cue(Timecode.parse("23:30:00:00", R25));
        rig.run(rig.now() + 14_400 * SECOND, false);
        assertThat(rig.heard.turns()).containsExactly(News.LOCKED);
        Long measured = rig.heard.qualities.get(rig.heard.qualities.size() - 1).ratePpm();
        assertThat(measured).isNotNull();
        assertThat(measured).isBetween(ppm - 12, ppm + 12);
        assertThat(rig.heard.line().frameAt(rig.now())).isGreaterThan(R25.framesPerDay());
    }

    @Test
    void saysThatLabelsAreOfAnotherRate() {
        HeardNews heard = new HeardNews();
        Chase chase = new Chase(FrameRate.R24, 10 * SECOND, 0, heard);
        ReportedTimecode reports = new ReportedTimecode(chase);
        for (int i = 0; i < 2_000; i++) {
            long at = SECOND + i * SECOND / 2;
            long frame = FrameRate.R23_976.frameAt(i * SECOND / 2);
            reports.reported(Timecode.wrapped(FrameRate.R24, frame), at - 1_000_000, at + 1_000_000);
        }
        assertThat(heard.troubles).containsExactly("its labels do not count as 24 does: are they of another rate?");
    }
}
