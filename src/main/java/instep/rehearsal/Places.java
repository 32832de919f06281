package instep.rehearsal;

import java.util.ArrayList;
import java.util.List;

/** Which place a record has among those of its sort, by its number: 8 bytes for each, since numbers only rise within a run. Not thread-safe. */
final class Places {
    private static final int PAGE = 1_024;

    private final List<long[]> pages = new ArrayList<>();
    private int count;
    /** From this place on numbers rise. They fall only where the record is damaged that another run began with, whose records name none of before. */
    private int first;

    /** The next record of that sort has that number. */
    void add(long seq) {
        if (count > first && seq <= at(count - 1)) {
            first = count;
        }
        if (count % PAGE == 0) {
            pages.add(new long[PAGE]);
        }
        pages.get(count / PAGE)[count % PAGE] = seq;
        count++;
    }

    /** Its place, from 0; -1 if none has that number. */
    int of(long seq) {
        int low = first;
        int high = count - 1;
        while (low <= high) {
            int middle = (low + high) >>> 1;
            long there = at(middle);
            if (there == seq) {
                return middle;
            } else if (there < seq) {
                low = middle + 1;
            } else {
                high = middle - 1;
            }
        }
        return -1;
    }

    private long at(int place) {
        return pages.get(place / PAGE)[place % PAGE];
    }
}
