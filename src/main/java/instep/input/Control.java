package instep.input;

import instep.input.hid.InputField;
import instep.input.hid.Usage;
import java.nio.ByteBuffer;
import java.util.OptionalInt;

/** One control in a report, wherever it is, as a share of its whole way; a switch is at 0 or 1. Allocates nothing. */
@FunctionalInterface
interface Control {
    /** No statement: what was known before still holds. */
    double UNCHANGED = Double.NaN;

    /** A keyboard's word for more keys than it can tell apart (HID Usage Tables, keyboard page). */
    Usage ERROR_ROLL_OVER = new Usage(0x07, 0x01);

    /** Its position in a report that begins at index 0 of the buffer; {@link #UNCHANGED} if the report does not say. */
    double share(ByteBuffer report, int length);

    /** Bits of one byte that are as they are to be. */
    static Control bits(int byteIndex, int mask, int equals) {
        return (report, length) -> byteIndex >= length ? UNCHANGED : (report.get(byteIndex) & mask) == equals ? 1 : 0;
    }

    /**
     * A control of its own (HID 1.11, 6.2.2.5, Variable).
     *
     * @param place which of the field's controls it is, counted from 0
     */
    static Control variable(InputField field, int place) {
        int bit = field.bit() + place * field.size();
        int size = field.size();
        boolean hasRange = size > 1 && field.minimum() < field.maximum();
        boolean signed = hasRange && field.isSigned();
        double minimum = hasRange ? field.minimum() : 0;
        double maximum = hasRange ? field.maximum() : (1L << size) - 1;
        return (report, length) -> {
            if (bit + size > length * Byte.SIZE) {
                return UNCHANGED;
            }
            double value = number(report, bit, size, signed);
            // 5.10, null values: what lies outside says nothing of the control
            return value < minimum || value > maximum ? UNCHANGED : (value - minimum) / (maximum - minimum);
        };
    }

    /** A usage that is active while one of the field's controls names it (6.2.2.5, Array). */
    static Control element(InputField field, int place) {
        long wanted = field.minimum() + place;
        boolean signed = field.isSigned();
        OptionalInt rollOver = field.place(ERROR_ROLL_OVER);
        long tooMany = rollOver.isPresent() ? field.minimum() + rollOver.getAsInt() : Long.MIN_VALUE;
        return (report, length) -> {
            int whole = Math.min(field.count(), (length * Byte.SIZE - field.bit()) / field.size());
            if (whole < field.count()) {
                return UNCHANGED;
            }
            double share = 0;
            for (int i = 0; i < whole; i++) {
                long number = number(report, field.bit() + i * field.size(), field.size(), signed);
                if (number == tooMany) {
                    return UNCHANGED;
                }
                share = number == wanted ? 1 : share;
            }
            return share;
        };
    }

    /** The lowest bits come first (HID 1.11, 8.4). */
    private static long number(ByteBuffer report, int bit, int size, boolean signed) {
        long number = 0;
        int last = (bit + size - 1) / Byte.SIZE;
        for (int i = last; i >= bit / Byte.SIZE; i--) {
            number = number << Byte.SIZE | Byte.toUnsignedLong(report.get(i));
        }
        int above = Long.SIZE - size;
        long shifted = number >>> bit % Byte.SIZE << above;
        return signed ? shifted >> above : shifted >>> above;
    }
}
