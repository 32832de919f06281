package instep.daemon;

import java.util.Optional;

/** Keeps gear that never stops talking from filling the disk: of more replies in a second than a person could use, the rest are counted. Loop thread only. */
final class Chatter {
    private static final int MOST = 50;
    private static final long SECOND = 1_000_000_000L;

    private final long[] since;
    private final int[] count;

    Chatter(int gear) {
        since = new long[gear];
        count = new int[gear];
    }

    /** Counts a reply; when a new second begins, tells of those that were left out of the last one. */
    Optional<String> heard(int gear, long nanos) {
        int left = 0;
        if (count[gear] == 0 || nanos - since[gear] >= SECOND) {
            left = count[gear] - MOST;
            since[gear] = nanos;
            count[gear] = 0;
        }
        count[gear]++;
        return left > 0
                ? Optional.of(" says more than anybody can use: " + left + " replies in a second were left out")
                : Optional.empty();
    }

    /** Whether the reply that was counted last is one to write down. */
    boolean isWritten(int gear) {
        return count[gear] <= MOST;
    }
}
