package instep.daemon;

/** By contact: the latest edges and the records of them, to name the edge that a gesture began with. Allocates nothing after construction. */
final class RecentEdges {
    private static final int KEPT = 64;

    private final long[][] times;
    private final long[][] records;
    private final int[] counts;

    RecentEdges(int contacts) {
        times = new long[contacts][KEPT];
        records = new long[contacts][KEPT];
        counts = new int[contacts];
    }

    void goOnFrom(RecentEdges other, int[] theirs) {
        for (int contact = 0; contact < theirs.length; contact++) {
            if (theirs[contact] >= 0) {
                times[contact] = other.times[theirs[contact]];
                records[contact] = other.records[theirs[contact]];
                counts[contact] = other.counts[theirs[contact]];
            }
        }
    }

    void add(int contact, long nanos, long record) {
        int place = counts[contact]++ % KEPT;
        times[contact][place] = nanos;
        records[contact][place] = record;
    }

    /** The record of the contact's edge at that time; the latest where that one is long past, -1 where there is none. */
    long record(int contact, long nanos) {
        int latest = counts[contact] - 1;
        for (int i = latest; i >= 0 && i > latest - KEPT; i--) {
            if (times[contact][i % KEPT] == nanos) {
                return records[contact][i % KEPT];
            }
        }
        return latest < 0 ? -1 : records[contact][latest % KEPT];
    }
}
