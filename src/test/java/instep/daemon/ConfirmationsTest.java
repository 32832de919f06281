package instep.daemon;

import static org.assertj.core.api.Assertions.assertThat;

import instep.daemon.Confirmations.Verdict;
import org.junit.jupiter.api.Test;

/** Angles are numbers here, and times nanoseconds; a cut is given up after 1000 of them. */
class ConfirmationsTest {
    private final Confirmations way = new Confirmations(new long[] {1_000, 0});

    private Verdict said(int angle, int current, long now) {
        return way.said(0, angle, current, 99, now);
    }

    @Test
    void takesAnswersInTheOrderOfTheCuts() {
        way.asked(1, 11, 0);
        way.asked(2, 12, 10);
        way.asked(1, 13, 20);
        assertThat(said(1, 1, 30)).isEqualTo(Verdict.CONFIRMS);
        assertThat(way.record()).isEqualTo(11);
        assertThat(way.since()).isZero();
        assertThat(said(1, 1, 40)).isEqualTo(Verdict.CONFIRMS);
        assertThat(way.record())
                .as("the one between will not be heard of any more")
                .isEqualTo(13);
        assertThat(said(2, 1, 50)).isEqualTo(Verdict.OTHER);
    }

    @Test
    void givesACutUpInTheEnd() {
        way.asked(1, 11, 0);
        assertThat(way.awaits(0, 999)).isTrue();
        assertThat(way.awaits(0, 1_000)).isFalse();
        assertThat(said(1, 1, 1_000)).isEqualTo(Verdict.KNOWN);
        assertThat(said(2, 1, 1_001)).isEqualTo(Verdict.OTHER);
    }

    @Test
    void putsAnothersCutAsideUntilTheNewestOfOursIsGivenUp() {
        way.asked(1, 11, 0);
        way.asked(2, 12, 500);
        assertThat(said(3, 2, 600)).isEqualTo(Verdict.STANDS_ASIDE);
        assertThat(way.nextDeadline()).isEqualTo(1_500);
        assertThat(way.due(1_499)).isEqualTo(-1);
        assertThat(way.due(1_500)).isZero();
        assertThat(way.take(0)).isEqualTo(3);
        assertThat(way.record()).isEqualTo(99);
        assertThat(way.nextDeadline()).isEqualTo(Confirmations.NEVER);
    }

    @Test
    void forgetsWhatStandsAsideWhenOursComesThroughOrAnotherIsAsked() {
        way.asked(1, 11, 0);
        said(3, 1, 10);
        assertThat(said(1, 1, 20)).isEqualTo(Verdict.CONFIRMS);
        assertThat(way.nextDeadline()).isEqualTo(Confirmations.NEVER);
        way.asked(2, 12, 30);
        said(3, 2, 40);
        way.asked(1, 13, 50);
        assertThat(way.nextDeadline()).isEqualTo(Confirmations.NEVER);
    }

    @Test
    void awaitsNothingOverALinkThatIsLost() {
        way.asked(1, 11, 0);
        said(3, 1, 10);
        way.lost(0);
        assertThat(way.awaits(0, 20)).isFalse();
        assertThat(way.nextDeadline()).isEqualTo(Confirmations.NEVER);
    }

    @Test
    void knowsWhatIsSaidAgainAfterAConnectionIsMade() {
        way.askedAgain(0, 1, Confirmations.NONE, 0);
        assertThat(said(2, 1, 10)).as("what the gear begins with").isEqualTo(Verdict.STANDS_ASIDE);
        assertThat(said(1, 1, 20)).isEqualTo(Verdict.KNOWN);
        assertThat(way.nextDeadline()).isEqualTo(Confirmations.NEVER);
    }

    @Test
    void tellsWhetherTheGearWasToldAgain() {
        way.asked(1, 11, 0);
        way.askedAgain(0, 1, 11, 900);
        assertThat(said(1, 1, 1_010)).isEqualTo(Verdict.CONFIRMS);
        assertThat(way.record()).isEqualTo(11);
        assertThat(way.since()).isEqualTo(900);
        assertThat(way.isAgain()).isTrue();
        way.asked(2, 12, 1_100);
        assertThat(said(2, 2, 1_110)).isEqualTo(Verdict.CONFIRMS);
        assertThat(way.isAgain()).isFalse();
    }

    @Test
    void forgetsTheOldestOfMoreThanItCanHold() {
        for (int i = 0; i < 40; i++) {
            way.asked(i, 100 + i, i);
        }
        assertThat(said(0, 39, 50)).isEqualTo(Verdict.STANDS_ASIDE);
        assertThat(said(8, 39, 50)).isEqualTo(Verdict.CONFIRMS);
        assertThat(way.record()).isEqualTo(108);
    }

    @Test
    void asksNothingOfGearThatDoesNotTell() {
        way.asked(1, 11, 0);
        assertThat(way.awaits(1, 0)).isFalse();
    }
}
