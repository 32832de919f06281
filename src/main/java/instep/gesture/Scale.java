package instep.gesture;

import java.math.BigDecimal;

/**
 * Where a position is shown on: from one number to another, which may be the smaller. Values are whole numbers of the last decimal: 125
 * stands for 1.25 where there are two.
 *
 * @param from at the one end of the way
 * @param to at the other end
 * @param decimals how many digits stand after the point
 */
public record Scale(long from, long to, int decimals) {
    /** Neither end is farther from 0; every value is a number that a double holds exactly. */
    public static final long LARGEST = 1_000_000_000L;

    /** From 0 to 100, whole numbers. */
    public static final Scale PERCENT = new Scale(0, 100, 0);

    public Scale {
        if (Math.abs(from) > LARGEST || Math.abs(to) > LARGEST || from == to || decimals < 0) {
            throw new IllegalArgumentException("a scale from " + from + " to " + to);
        }
    }

    /** The value at a position, a share of the way from 0 to 1; both ends are exact. */
    public long at(double share) {
        return from + Math.round(share * (to - from));
    }

    /** A value as it is written. */
    public String text(long value) {
        return decimals == 0
                ? Long.toString(value)
                : BigDecimal.valueOf(value, decimals).toPlainString();
    }
}
