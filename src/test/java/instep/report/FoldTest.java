package instep.report;

import static org.assertj.core.api.Assertions.assertThat;

import instep.cutlist.Shot;
import instep.cutlist.Take;
import instep.time.FrameRate;
import java.util.List;
import net.jqwik.api.ForAll;
import net.jqwik.api.Property;
import net.jqwik.api.constraints.LongRange;
import org.junit.jupiter.api.Test;

class FoldTest {
    private static Take take(long in, long frames) {
        return new Take(1, in, in + frames, true, List.of(new Shot(1, "wide", in, in + frames)), List.of());
    }

    @Property
    void rowsAreTheTakeWithoutGapOrOverlapAndTicksLieWithinThem(
            @ForAll @LongRange(min = 1, max = 90_000 * 30L) long frames,
            @ForAll @LongRange(max = 5_000_000) long in,
            @ForAll FrameRate rate) {
        Fold fold = Fold.of(take(in, frames), rate);
        long at = in;
        int ticks = 0;
        for (Fold.Row row : fold.rows()) {
            assertThat(row.in()).isEqualTo(at);
            assertThat(row.out() - row.in()).isBetween(1L, fold.row());
            for (long tick : fold.ticks(row)) {
                assertThat(row.holds(tick)).isTrue();
                assertThat((tick - in) % fold.tick()).isZero();
            }
            ticks = Math.max(ticks, fold.ticks(row).size());
            at = row.out();
        }
        assertThat(at).isEqualTo(in + frames);
        assertThat(fold.rows().size()).isLessThanOrEqualTo(13);
        assertThat(ticks).isLessThanOrEqualTo(7);
    }

    @Test
    void aShortTakeStaysInOneRowAndALongOneIsFolded() {
        assertThat(Fold.of(take(0, 25 * 350), FrameRate.R25).rows()).hasSize(1);
        assertThat(Fold.of(take(0, 25 * 3_600), FrameRate.R25).rows())
                .hasSize(12)
                .first()
                .isEqualTo(new Fold.Row(0, 25 * 300));
    }
}
