package instep.gesture;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatIllegalArgumentException;

import java.util.ArrayList;
import java.util.List;
import net.jqwik.api.ForAll;
import net.jqwik.api.Property;
import net.jqwik.api.constraints.DoubleRange;
import org.junit.jupiter.api.Test;

class ThresholdTest {
    private static final Threshold RISING = new Threshold(0.6, 0.4);
    private static final Threshold FALLING = new Threshold(0.25, 0.5);

    @Test
    void closesAboveOnePositionAndOpensBelowAnother() {
        assertThat(levels(RISING, 0, 0.5, 0.6, 0.61, 0.5, 0.4, 0.39, 0.5, 1))
                .containsExactly(false, false, false, true, true, true, false, false, true);
    }

    @Test
    void closesBelowOnePositionAndOpensAboveAnother() {
        assertThat(levels(FALLING, 1, 0.3, 0.25, 0.2, 0.3, 0.5, 0.51, 0.3, 0))
                .containsExactly(false, false, false, true, true, true, false, false, true);
    }

    @Test
    void refusesThresholdsThatNothingCouldPass() {
        assertThatIllegalArgumentException().isThrownBy(() -> new Threshold(1, 0.5));
        assertThatIllegalArgumentException().isThrownBy(() -> new Threshold(0.5, 0));
        assertThatIllegalArgumentException().isThrownBy(() -> new Threshold(0.5, 0.5));
        assertThatIllegalArgumentException().isThrownBy(() -> new Threshold(Double.NaN, 0.5));
    }

    @Property
    void anEndOfTheWayAlwaysClosesAndTheOtherAlwaysOpens(
            @ForAll @DoubleRange(min = 0.01, max = 0.99) double press,
            @ForAll @DoubleRange(min = 0.01, max = 0.99) double release) {
        if (press == release) {
            return;
        }
        Threshold threshold = new Threshold(press, release);
        double far = press > release ? 1 : 0;
        assertThat(threshold.closed(false, far)).isTrue();
        assertThat(threshold.closed(true, 1 - far)).isFalse();
        double between = (press + release) / 2;
        assertThat(threshold.closed(true, between)).isTrue();
        assertThat(threshold.closed(false, between)).isFalse();
    }

    private static List<Boolean> levels(Threshold threshold, double... way) {
        List<Boolean> levels = new ArrayList<>();
        boolean closed = false;
        for (double share : way) {
            closed = threshold.closed(closed, share);
            levels.add(closed);
        }
        return levels;
    }
}
