package instep.desk;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.List;
import org.junit.jupiter.api.Test;

/** What the page shows of what is wrong with the desk itself. */
class BoardTest {
    private static final String FULL = "No space left on device";

    private final Studio studio = new Studio();
    private final Board board = new Board(studio, new WrongTokens(fault -> {}));

    private void acknowledgesTheJournal() {
        studio.journalIs(FULL);
        assertThat(board.acknowledge("journal")).isTrue();
        assertThat(board.state()).doesNotContain(FULL);
    }

    @Test
    void keepsAnAlarmFromThoseWhoHaveSeenItAsLongAsTheyGoOnLooking() {
        acknowledgesTheJournal();
        for (long second = 3; second < 20; second++) {
            studio.isAt(second * Studio.SECOND);
            assertThat(board.alarms()).hasSize(1);
        }
        assertThat(board.state()).doesNotContain(FULL);
    }

    @Test
    void showsAnAlarmAgainThatWasSeenWhenSomebodyLooksAfterNobodyHas() {
        acknowledgesTheJournal();
        studio.isAt(7 * Studio.SECOND);
        assertThat(board.state()).doesNotContain(FULL);
        // Whether it has been over meanwhile, nobody knows.
        studio.isAt(12 * Studio.SECOND + 1);
        assertThat(board.state()).contains(FULL);
    }

    /** The beat of a page, and a monitor, look without showing anything. */
    @Test
    void showsAnAlarmAgainThatWasSeenAndWasOverAtAnyLook() {
        acknowledgesTheJournal();
        studio.journalIs("");
        assertThat(board.alarms()).isEmpty();
        studio.journalIs(FULL);
        assertThat(board.state()).contains(FULL);
        acknowledgesTheJournal();
        studio.journalIs("");
        assertThat(board.reasons()).isEmpty();
        studio.journalIs(FULL);
        assertThat(board.state()).contains(FULL);
    }

    @Test
    void saysOnceWhatARecordSaysAsWell() {
        String what = "the journal cannot be written";
        studio.journalIs(FULL);
        studio.shows(Studio.snapshot("wheel", List.of(Studio.fault(7, what, true))));
        assertThat(board.state()).containsOnlyOnce(what).contains("\"number\":\"7\"");
        assertThat(board.reasons()).containsExactly(what + ": look at it");
        // Whoever has seen that has seen all of it.
        assertThat(board.acknowledge("7")).isTrue();
        assertThat(board.state()).doesNotContain(what);
        // That it was so once does not tell that it is so now.
        studio.shows(Studio.snapshot("wheel", List.of(Studio.fault(8, what, false))));
        assertThat(board.reasons()).containsExactly(what + ": " + FULL);
    }
}
