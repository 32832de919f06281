package instep.input.hid;

import java.util.List;
import java.util.OptionalInt;
import org.jspecify.annotations.Nullable;

/**
 * Controls that follow each other in an input report: what one Input item describes (HID 1.11, 6.2.2.5).
 *
 * @param report the number of the report; 0 if the device does not number them
 * @param bit where the first control begins, counted from the report's first byte, which is its number if it has one
 * @param size bits of each control
 * @param count how many controls there are
 * @param isArray whether each control names the usage that is active, by its place; else each usage has a control of its own
 * @param isRelative whether values are changes
 * @param usages in the order of the controls; of an array in the order of the values
 * @param minimum the least value that means anything; of an array that of the first usage
 * @param maximum the greatest value that means anything
 */
public record InputField(
        int report,
        int bit,
        int size,
        int count,
        boolean isArray,
        boolean isRelative,
        List<UsageRange> usages,
        long minimum,
        long maximum) {
    public InputField {
        usages = List.copyOf(usages);
    }

    /** Whether values may be negative (HID 1.11, 6.2.2.7: both bounds from 0 on are unsigned). */
    public boolean isSigned() {
        return minimum < 0;
    }

    /** The usage of a control, or of an array's value, counted from 0; null where there is none. */
    public @Nullable Usage usage(int place) {
        long places = isArray ? maximum - minimum + 1 : count;
        int left = place;
        for (UsageRange range : usages) {
            if (left < range.size()) {
                return place < places ? new Usage(range.page(), range.first() + left) : null;
            }
            left -= range.size();
        }
        return null;
    }

    /** Which of the usages it is, counted from 0; empty if it is none that a control can have. */
    public OptionalInt place(Usage usage) {
        long before = 0;
        for (UsageRange range : usages) {
            if (range.holds(usage)) {
                long place = before + usage.id() - range.first();
                long places = isArray ? maximum - minimum + 1 : count;
                return place < places ? OptionalInt.of((int) place) : OptionalInt.empty();
            }
            before += range.size();
        }
        return OptionalInt.empty();
    }
}
