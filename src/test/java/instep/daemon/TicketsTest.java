package instep.daemon;

import static org.assertj.core.api.Assertions.assertThat;

import org.junit.jupiter.api.Test;

class TicketsTest {
    private final Tickets tickets = new Tickets();

    @Test
    void knowsWhenSomethingWasDecidedAndForgetsItInTheEnd() {
        tickets.issue(7, 1_000);
        assertThat(tickets.decidedAt(7)).isEqualTo(1_000);
        tickets.issue(7 + 256, 2_000);
        assertThat(tickets.decidedAt(7)).isEqualTo(Tickets.FORGOTTEN);
        assertThat(tickets.decidedAt(7 + 256)).isEqualTo(2_000);
    }

    /** A cut that waits is withdrawn when another comes: nothing else may be taken for one. */
    @Test
    void takesNothingForACutThatIsNone() {
        tickets.markCut(8);
        assertThat(tickets.isCut(8)).isTrue();
        for (long other : new long[] {0, 1, 7, 9, 8 + 256, -1, -2, -8}) {
            assertThat(tickets.isCut(other)).as("ticket %d", other).isFalse();
        }
    }

    @Test
    void knowsNothingOfWhatNobodyAskedFor() {
        assertThat(tickets.decidedAt(-1)).isEqualTo(Tickets.FORGOTTEN);
        assertThat(tickets.decidedAt(-2)).isEqualTo(Tickets.FORGOTTEN);
    }
}
