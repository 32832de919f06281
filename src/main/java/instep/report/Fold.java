package instep.report;

import instep.cutlist.Take;
import instep.time.FrameRate;
import java.util.ArrayList;
import java.util.List;

/**
 * How a take's time is folded into rows of a picture, all to the same scale; the last may end early.
 *
 * @param row how many frames fill a row
 * @param tick how many frames lie between two ticks of the scale
 */
record Fold(Take take, FrameRate rate, long row, long tick) {
    private static final long SECOND = 1_000_000_000L;
    private static final int[] TICKS = {1, 2, 5, 10, 15, 30, 60, 120, 300, 600, 900, 1_800, 3_600, 7_200, 14_400};
    private static final int[] ROWS = {300, 600, 900, 1_200, 1_800, 2_400, 3_600, 7_200, 14_400};
    private static final int MOST_TICKS = 6;
    private static final int MOST_ROWS = 12;
    /** What is no longer stays in one row, in seconds. */
    private static final int ONE_ROW = 360;

    /** A row: its first frame, and the one after its last. */
    record Row(long in, long out) {
        boolean holds(long frame) {
            return in <= frame && frame < out;
        }
    }

    static Fold of(Take take, FrameRate rate) {
        long row = Math.max(1, take.frames());
        if (row > frames(ONE_ROW, rate)) {
            row = shortest(ROWS, row, MOST_ROWS, rate);
        }
        return new Fold(take, rate, row, shortest(TICKS, row, MOST_TICKS, rate));
    }

    /** The shortest of the lengths, in frames, of which the whole has no more than so many. */
    private static long shortest(int[] seconds, long whole, int most, FrameRate rate) {
        for (int length : seconds) {
            long frames = frames(length, rate);
            if ((whole + frames - 1) / frames <= most) {
                return frames;
            }
        }
        return whole / most + 1;
    }

    private static long frames(int seconds, FrameRate rate) {
        return rate.frameAt(seconds * SECOND);
    }

    List<Row> rows() {
        List<Row> rows = new ArrayList<>();
        for (long in = take.in(); in < take.out(); in += row) {
            rows.add(new Row(in, Math.min(take.out(), in + row)));
        }
        return rows;
    }

    /** The frames of the ticks within a row. */
    List<Long> ticks(Row of) {
        List<Long> ticks = new ArrayList<>();
        for (long at = of.in() + Math.floorMod(take.in() - of.in(), tick); at < of.out(); at += tick) {
            ticks.add(at);
        }
        return ticks;
    }
}
