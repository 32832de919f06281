package instep.machine;

import java.util.List;
import org.jspecify.annotations.Nullable;

/**
 * A value that a mapping keeps for itself.
 *
 * @param initial what it is at the start: a {@code Long}, {@code Boolean} or {@code String}, and it stays one
 * @param min the least that a number becomes
 * @param max the most that a number becomes
 */
public record Variable(String name, Object initial, long min, long max) {
    /** Names that the machine and the daemon give values to, and that nothing can be set on. */
    public static final List<String> READ_ONLY = List.of("take", "chapter", "angle", "timecode");

    public Variable {
        if (!(initial instanceof Long || initial instanceof Boolean || initial instanceof String)) {
            throw new IllegalArgumentException("'" + name + "' is no whole number, truth value or text");
        }
        if (min > max) {
            throw new IllegalArgumentException("'" + name + "' has its min above its max");
        }
        if (initial instanceof Long number && (number < min || number > max)) {
            throw new IllegalArgumentException("'" + name + "' begins at " + number + ", outside of its bounds");
        }
    }

    /** A value without bounds. */
    public static Variable of(String name, Object initial) {
        return new Variable(name, initial, Long.MIN_VALUE, Long.MAX_VALUE);
    }

    boolean isNumber() {
        return initial instanceof Long;
    }

    /** Whether the value is of its kind and within its bounds. */
    boolean takes(Object value) {
        return value.getClass() == initial.getClass()
                && !(value instanceof Long number && (number < min || number > max));
    }

    /** What a text from outside means for it; null if it cannot be that. */
    @Nullable Object read(String text) {
        if (initial instanceof String) {
            return text;
        }
        if (initial instanceof Boolean) {
            return text.equals("true") ? Boolean.TRUE : text.equals("false") ? Boolean.FALSE : null;
        }
        try {
            long number = Long.parseLong(text.strip());
            return number < min || number > max ? null : number;
        } catch (NumberFormatException e) {
            return null;
        }
    }

    /** So much more or less, as far as the bounds let it. */
    long sum(long value, long amount) {
        long sum = value + amount;
        boolean overflown = ((value ^ sum) & (amount ^ sum)) < 0;
        if (overflown) {
            return amount > 0 ? max : min;
        }
        return Math.max(min, Math.min(max, sum));
    }
}
