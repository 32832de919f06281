package instep.input.hid;

import java.util.ArrayList;
import java.util.List;

/** The usages that local items have named since the last main item (HID 1.11, 6.2.2.8). */
final class Locals {
    /** A usage of up to two bytes is of the page that holds at the main item. */
    private static final int PAGE_OF_MAIN_ITEM = -1;

    private static final int ID = 0xffff;

    private final List<UsageRange> ranges = new ArrayList<>();
    private long minimum = -1;
    private int minimumBytes;
    private boolean inSet;
    private boolean setIsNamed;

    void clear() {
        ranges.clear();
        minimum = -1;
        inSet = false;
    }

    void usage(long data, int bytes) {
        add(data, data, bytes);
    }

    void minimum(long data, int bytes) {
        minimum = data;
        minimumBytes = bytes;
    }

    /** False if the range runs backwards, over several pages, or has no minimum. */
    boolean maximum(long data, int bytes) {
        boolean samePage = (data >>> 16) == (minimum >>> 16) || bytes < Integer.BYTES || minimumBytes < Integer.BYTES;
        if (minimum < 0 || !samePage || (data & ID) < (minimum & ID)) {
            return false;
        }
        long page = (Math.max(data, minimum) >>> 16) << 16;
        add(page | (minimum & ID), page | (data & ID), Math.max(bytes, minimumBytes));
        minimum = -1;
        return true;
    }

    /** Between delimiters stand usages that mean the same, the preferred one first; false if they are nested. */
    boolean delimiter(boolean opens) {
        boolean fits = opens != inSet;
        inSet = opens;
        setIsNamed = false;
        return fits;
    }

    /** All usages, where {@code page} is that of the main item. */
    List<UsageRange> usages(int page) {
        return ranges.stream()
                .map(range ->
                        range.page() == PAGE_OF_MAIN_ITEM ? new UsageRange(page, range.first(), range.last()) : range)
                .toList();
    }

    private void add(long first, long last, int bytes) {
        if (inSet && setIsNamed) {
            return;
        }
        setIsNamed = true;
        int page = bytes < Integer.BYTES ? PAGE_OF_MAIN_ITEM : (int) (first >>> 16);
        ranges.add(new UsageRange(page, (int) (first & ID), (int) (last & ID)));
    }
}
