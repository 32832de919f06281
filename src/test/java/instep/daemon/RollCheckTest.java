package instep.daemon;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.BitSet;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;

/** Whether recorders roll, as far as they say it. */
class RollCheckTest {
    private final RollCheck check = new RollCheck(only(1), new long[] {0, 2_000});

    private static BitSet only(int gear) {
        BitSet one = new BitSet();
        one.set(gear);
        return one;
    }

    @BeforeEach
    void nothingIsAwaitedWithoutATake() {
        assertThat(check.nextDeadline()).isEqualTo(RollCheck.NEVER);
    }

    @Test
    void awaitsEachRecorderAfterTheBeginningOfATake() {
        check.takeOpened(100);

        assertThat(check.nextDeadline()).isEqualTo(2_100);
        assertThat(check.due(2_099)).isEqualTo(-1);
        assertThat(check.due(2_100)).isEqualTo(1);
        assertThat(check.due(2_100)).isEqualTo(-1);
    }

    @Test
    void awaitsNobodyInATakeThatGoesOnButHearsWhoHasStopped() {
        check.takeResumed();

        assertThat(check.nextDeadline()).isEqualTo(RollCheck.NEVER);
        assertThat(check.said(0, false)).isFalse();
        assertThat(check.said(1, false)).isTrue();
    }

    @Test
    void countsARecorderThatIsGoneInATakeThatGoesOnAsStopped() {
        check.takeResumed();

        assertThat(check.lost(1)).isTrue();
        assertThat(check.lost(1)).isFalse();
    }
}
