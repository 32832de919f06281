package instep.daemon;

import static org.assertj.core.api.Assertions.assertThat;

import instep.input.InputListener;
import java.util.ArrayList;
import java.util.List;
import org.junit.jupiter.api.Test;

class FloodgateTest {
    private static final long MILLI = 1_000_000L;
    private static final long SECOND = 1_000 * MILLI;

    private final List<String> passed = new ArrayList<>();
    private final List<String> said = new ArrayList<>();
    private final Floodgate gate = new Floodgate(List.of("floor.left", "floor.right"), new InputListener() {
        @Override
        public void edge(int contact, boolean closed, boolean lost, long nanos) {
            passed.add(contact + (closed ? " closed" : lost ? " lost" : " open"));
        }

        @Override
        public void device(int pedal, DeviceState state, String detail, long nanos) {
            said.add(detail);
        }

        @Override
        public void oddity(int pedal, String sentence, long nanos) {
            said.add(sentence);
        }
    });

    /** Toggles that often, beginning with a closing. */
    private void toggle(int contact, int times, long from, long gap) {
        for (int i = 0; i < times; i++) {
            gate.edge(contact, i % 2 == 0, false, from + i * gap);
        }
    }

    @Test
    void passesWhatAFootABounceOrADialCanDo() {
        for (int second = 0; second < 5; second++) {
            toggle(0, Floodgate.MOST, 10 * SECOND + second * SECOND, SECOND / Floodgate.MOST);
        }
        assertThat(passed).hasSize(5 * Floodgate.MOST);
        assertThat(said).isEmpty();
    }

    @Test
    void leavesAContactOutThatFloodsAndSaysSoOnce() {
        toggle(0, 80_001, 10 * SECOND, SECOND / 8_000);
        assertThat(passed).hasSize(Floodgate.MOST).endsWith("0 closed", "0 open");
        assertThat(said).singleElement().asString().startsWith("floor.left chatters: more than 500 edges in a second");
    }

    /** Else what it held would be held for ever. */
    @Test
    void countsItAsReleasedWhereItStoodClosed() {
        gate.edge(0, false, false, 10 * SECOND);
        toggle(0, 2 * Floodgate.MOST, 10 * SECOND + 1, 1);
        assertThat(passed).hasSize(Floodgate.MOST).endsWith("0 closed", "0 lost");
    }

    @Test
    void letsItCountAgainWhenItHasBeenQuietForASecond() {
        toggle(0, 10_001, 10 * SECOND, SECOND / 8_000);
        passed.clear();
        said.clear();
        long end = 10 * SECOND + 10_000 * (SECOND / 8_000);
        gate.edge(0, false, false, end + SECOND - 1);
        gate.edge(0, true, false, end + 2 * SECOND - 2);
        assertThat(passed).isEmpty();
        gate.edge(0, false, false, end + 3 * SECOND);
        assertThat(said).containsExactly("floor.left is quiet again, and counts: 9503 edges were left out");
        assertThat(passed).isEmpty();
        gate.edge(0, true, false, end + 3 * SECOND + 1);
        gate.edge(0, false, false, end + 4 * SECOND);
        assertThat(passed).containsExactly("0 closed", "0 open");
    }

    @Test
    void holdsNoOtherContactUp() {
        toggle(0, 10_000, 10 * SECOND, 1);
        passed.clear();
        toggle(1, 4, 10 * SECOND, MILLI);
        assertThat(passed).containsExactly("1 closed", "1 open", "1 closed", "1 open");
    }

    @Test
    void passesOnAllElse() {
        gate.device(1, InputListener.DeviceState.UP, "is up", 1);
        gate.oddity(1, "odd", 1);
        assertThat(said).containsExactly("is up", "odd");
    }
}
