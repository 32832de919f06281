package instep.cutlist;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.ArrayList;
import java.util.List;
import java.util.Set;
import org.junit.jupiter.api.Test;

/** Each refinement by itself, on takes that a person can follow. */
class RefinedTest {
    private static final Set<Retake.CleanPoint> ALL = Set.of(Retake.CleanPoint.values());

    private static Take take(TakeEvent... events) {
        List<Take> found = new ArrayList<>();
        Takes takes = new Takes(found::add);
        takes.accept(new TakeEvent.Opened(1, 0));
        takes.accept(new TakeEvent.Cut("wide", 0));
        for (TakeEvent event : events) {
            takes.accept(event);
        }
        takes.accept(new TakeEvent.Closed(1, 1_000));
        return found.get(0);
    }

    private static TakeEvent go(String angle, long frame) {
        return new TakeEvent.Cut(angle, frame);
    }

    private static TakeEvent back(String angle, long frame) {
        return new TakeEvent.Cut(angle, frame, true);
    }

    private static TakeEvent mark(String name, long frame) {
        return new TakeEvent.Marked(new Mark(name, "", frame));
    }

    private static Refinements lead(long going, long returning, long minimum) {
        return new Refinements(going, returning, minimum, 0, Retake.NONE, 0, 0);
    }

    private static Refinements retake(Retake.Fate fate, Set<Retake.CleanPoint> since, long atMost, long minimum) {
        return new Refinements(0, 0, minimum, 0, new Retake(fate, since, atMost), 0, 0);
    }

    private static List<String> shown(Refined refined) {
        return refined.spans().stream()
                .map(span -> span.angle() + " " + span.in() + " " + span.out())
                .toList();
    }

    @Test
    void aLeadMovesGoingAndReturningByTheirOwn() {
        Refined refined = Refined.of(take(go("wheel", 100), back("wide", 200)), lead(6, 2, 0));
        assertThat(shown(refined)).containsExactly("wide 0 94", "wheel 94 198", "wide 198 1000");
        assertThat(refined.changes()).containsExactly(new Change("lead", 2, 0, 0));
    }

    @Test
    void aLeadStopsBehindTheCutBeforeItAndBehindTheStartOfTheTake() {
        Refined refined = Refined.of(take(go("wheel", 3), go("hands", 5), go("wide", 700)), lead(10, 0, 0));
        assertThat(shown(refined)).containsExactly("wide 0 1", "wheel 1 2", "hands 2 690", "wide 690 1000");
    }

    @Test
    void aLeadLeavesNoShotShorterThanTheShortest() {
        Refined refined = Refined.of(take(go("wheel", 30), go("hands", 60)), lead(20, 0, 25));
        assertThat(shown(refined)).containsExactly("wide 0 25", "wheel 25 50", "hands 50 1000");
    }

    @Test
    void aSlipOfTheFootVanishesEvenIfALeadWouldMakeItLonger() {
        Refined refined = Refined.of(take(go("wheel", 100), back("wide", 104)), lead(20, 0, 10));
        assertThat(shown(refined)).containsExactly("wide 0 1000");
        assertThat(refined.changes()).containsExactly(new Change("minimum-shot", 2, 0, 0), new Change("lead", 0, 0, 0));
    }

    @Test
    void aSlipOnTheWayToAnotherAngleIsJoinedToWhatWasThereBefore() {
        Refined refined = Refined.of(take(go("wheel", 100), go("hands", 104)), lead(0, 0, 10));
        assertThat(shown(refined)).containsExactly("wide 0 104", "hands 104 1000");
    }

    @Test
    void aTakeThatBeginsWithASlipBeginsWithWhatFollows() {
        Refined refined = Refined.of(take(go("wheel", 4)), lead(0, 0, 10));
        assertThat(shown(refined)).containsExactly("wheel 0 1000");
    }

    @Test
    void anAngleThatComesBackWithinTheTimeWasNeverLeft() {
        Refinements by = new Refinements(0, 0, 0, 20, Retake.NONE, 0, 0);
        Refined refined = Refined.of(take(go("wheel", 100), go("wide", 120), go("wheel", 500), go("wide", 521)), by);
        assertThat(shown(refined)).containsExactly("wide 0 500", "wheel 500 521", "wide 521 1000");
        assertThat(refined.changes()).containsExactly(new Change("merge-within", 2, 0, 0));
    }

    @Test
    void aDroppedPassageGoesFromTheLastCutToTheRestart() {
        Refined refined = Refined.of(
                take(go("wheel", 100), mark("retake", 300), go("hands", 600)), retake(Retake.Fate.DROP, ALL, 0, 0));
        assertThat(shown(refined)).containsExactly("wide 0 100", "wheel 300 600", "hands 600 1000");
        assertThat(refined.dropped()).containsExactly(new Passage("retake", 100, 300, true));
        assertThat(refined.changes()).containsExactly(new Change("retake", 1, 1, 200));
    }

    @Test
    void aPassageBeginsWithTheNearestOfTheCleanPointsThatWereAskedFor() {
        Take take = take(
                go("wheel", 100),
                mark("chapter", 150),
                mark("clean", 200),
                mark("note", 250),
                go("wide", 260),
                mark("retake", 300));
        assertThat(passage(take, ALL, 0)).isEqualTo(260);
        assertThat(passage(take, Set.of(Retake.CleanPoint.CLEAN, Retake.CleanPoint.CHAPTER), 0))
                .isEqualTo(200);
        assertThat(passage(take, Set.of(Retake.CleanPoint.CHAPTER), 0)).isEqualTo(150);
        assertThat(passage(take, Set.of(), 0)).isZero();
        assertThat(passage(take, ALL, 25)).isEqualTo(275);
    }

    private static long passage(Take take, Set<Retake.CleanPoint> since, long atMost) {
        Refined refined = Refined.of(take, retake(Retake.Fate.FLAG, since, atMost, 0));
        assertThat(refined.frames()).isEqualTo(take.frames());
        assertThat(refined.flagged()).hasSize(1);
        return refined.flagged().get(0).in();
    }

    @Test
    void aSecondAttemptThatWentWrongBeginsWhereTheFirstOneEnded() {
        Refined refined = Refined.of(
                take(mark("clean", 100), mark("retake", 200), mark("retake", 250)),
                retake(Retake.Fate.DROP, ALL, 0, 0));
        assertThat(refined.dropped()).containsExactly(new Passage("retake", 100, 250, true));
        assertThat(refined.changes()).containsExactly(new Change("retake", 0, 2, 150));
    }

    @Test
    void aSlipIsNoCleanPoint() {
        Refined refined = Refined.of(
                take(mark("clean", 100), go("wheel", 150), back("wide", 153), mark("retake", 200)),
                retake(Retake.Fate.DROP, ALL, 0, 10));
        assertThat(refined.dropped()).containsExactly(new Passage("retake", 100, 200, true));
    }

    @Test
    void whatIsLeftBetweenTwoDroppedPassagesAndTooShortGoesWithThem() {
        Refined refined = Refined.of(
                take(mark("retake", 100), mark("clean", 105), mark("retake", 200)),
                retake(Retake.Fate.DROP, ALL, 0, 10));
        assertThat(shown(refined)).containsExactly("wide 200 1000");
        assertThat(refined.changes())
                .containsExactly(new Change("retake", 0, 2, 195), new Change("minimum-shot", 0, 1, 5));
    }

    @Test
    void headAndTailGo() {
        Refinements by = new Refinements(0, 0, 0, 0, Retake.NONE, 50, 100);
        Refined refined = Refined.of(take(go("wheel", 30), go("hands", 950)), by);
        assertThat(shown(refined)).containsExactly("wheel 50 900");
        assertThat(refined.changes()).containsExactly(new Change("head", 1, 1, 50), new Change("tail", 1, 1, 100));
    }

    @Test
    void nothingIsLeftOfATakeThatIsAllHeadAndTail() {
        Refined refined = Refined.of(take(), new Refinements(0, 0, 10, 10, Retake.NONE, 600, 600));
        assertThat(refined.spans()).isEmpty();
        assertThat(refined.frames()).isZero();
        assertThat(refined.dropped()).extracting(Passage::frames).containsExactly(600L, 400L);
    }

    @Test
    void aTakeOfNoLengthStaysOne() {
        List<Take> found = new ArrayList<>();
        Takes takes = new Takes(found::add);
        takes.accept(new TakeEvent.Opened(4, 500));
        takes.accept(new TakeEvent.Cut("wide", 500));
        takes.accept(new TakeEvent.Closed(4, 500));
        assertThat(found).hasSize(1);
        assertThat(Refined.of(found.get(0), lead(5, 5, 5)).spans()).isEmpty();
    }

    private static Pauses pauses(long within, long... ends) {
        List<Pauses.Pause> pauses = new ArrayList<>();
        for (int i = 0; i < ends.length; i += 2) {
            pauses.add(new Pauses.Pause(ends[i], ends[i + 1]));
        }
        return new Pauses(pauses, within);
    }

    @Test
    void theEndsOfWhatIsDroppedGetIntoTheNearestPauseAndKeepABreathOfIt() {
        Refinements drop = retake(Retake.Fate.DROP, ALL, 0, 0);
        Refined refined = Refined.of(take(go("wheel", 100), mark("retake", 300)), drop, pauses(20, 85, 95, 315, 330));
        assertThat(shown(refined)).containsExactly("wide 0 93", "wheel 317 1000");
        assertThat(refined.passages()).containsExactly(new Passage("retake", 93, 317, true, 100, 300));
        assertThat(refined.changes()).containsExactly(new Change("retake", 1, 1, 224), new Change("snap", 2, 1, 0));
    }

    @Test
    void anEndStaysWhereNoPauseIsNearEnoughAndWhereNothingIsKeptBeyondIt() {
        Refinements drop = retake(Retake.Fate.DROP, ALL, 0, 0);
        Refined refined = Refined.of(take(mark("retake", 300)), drop, pauses(20, 10, 15, 330, 340));
        assertThat(shown(refined)).containsExactly("wide 300 1000");
        assertThat(refined.passages()).containsExactly(new Passage("retake", 0, 300, true));
    }

    @Test
    void aMarkBecauseOfWhichSomethingWasDroppedFindsNothingAgainWhereItIsKept() {
        Refinements drop = retake(Retake.Fate.DROP, ALL, 0, 0);
        Pauses pauses = pauses(20, 284, 290);
        Refined once = Refined.of(take(go("wheel", 100), mark("retake", 300)), drop, pauses);
        assertThat(shown(once)).containsExactly("wide 0 100", "wheel 288 1000");
        assertThat(shown(once.refine(drop, pauses))).isEqualTo(shown(once));
    }
}
