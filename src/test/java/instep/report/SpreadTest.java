package instep.report;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.List;
import net.jqwik.api.ForAll;
import net.jqwik.api.Property;
import net.jqwik.api.constraints.IntRange;
import net.jqwik.api.constraints.LongRange;
import net.jqwik.api.constraints.NotEmpty;
import org.junit.jupiter.api.Test;

/** Figures of latency against those that a sorted list gives. */
class SpreadTest {
    @Property
    void tellsWhatASortedListTellsButForAThirtieth(
            @ForAll @NotEmpty List<@LongRange(max = 100_000_000_000L) Long> lengths,
            @ForAll @IntRange(min = 1, max = 100) int percent) {
        Spread spread = new Spread();
        for (long length : lengths) {
            spread.add(length);
        }
        List<Long> sorted = lengths.stream().sorted().toList();
        // The nearest-rank percentile: the least value that so many of a hundred do not exceed.
        int rank = (int) Math.max(1, Math.ceil(percent * sorted.size() / 100.0));
        long exact = sorted.get(rank - 1);
        assertThat(spread.count()).isEqualTo(lengths.size());
        assertThat(spread.percentile(percent).orElseThrow()).isBetween(exact, exact + exact / 30);
        assertThat(spread.greatest()).hasValue(sorted.get(sorted.size() - 1));
    }

    @Test
    void tellsNothingOfNothing() {
        assertThat(new Spread().percentile(50)).isEmpty();
        assertThat(new Spread().greatest()).isEmpty();
    }

    @Test
    void takesAnyLength() {
        Spread spread = new Spread();
        spread.add(Long.MAX_VALUE);
        spread.add(-5);
        assertThat(spread.percentile(1)).hasValue(0);
        assertThat(spread.percentile(100)).hasValue(Long.MAX_VALUE);
    }
}
