package instep.daemon;

import instep.time.TimecodeLine;
import java.util.ArrayDeque;
import java.util.Deque;
import java.util.Iterator;

/**
 * The lines of timecode that were in force one after the other, the last few: what is stamped with an earlier instant gets the frame that counted then. A line that hardly differs from the
 * one before it never makes frames go back. Loop thread only.
 */
final class TimecodeStretches {
    private static final int KEPT = 16;

    /** From {@code since} on; frames are {@code least} at least. */
    private record Stretch(long since, TimecodeLine line, long least) {
        long frameAt(long nanos) {
            return Math.max(least, line.frameAt(nanos));
        }
    }

    private final Deque<Stretch> latestFirst = new ArrayDeque<>();

    /** This line alone, for all times. */
    TimecodeStretches(TimecodeLine line) {
        begin(line);
    }

    /** Forgets the others. */
    void begin(TimecodeLine line) {
        latestFirst.clear();
        latestFirst.addFirst(new Stretch(Long.MIN_VALUE, line, Long.MIN_VALUE));
    }

    /** Another line from that instant on. */
    void goOn(long since, TimecodeLine line) {
        long before = frameAt(since);
        boolean isSmall = Math.abs(line.frameAt(since) - before) <= 1;
        latestFirst.addFirst(new Stretch(since, line, isSmall ? before : Long.MIN_VALUE));
        if (latestFirst.size() > KEPT) {
            latestFirst.removeLast();
        }
    }

    /** The line in force now. */
    TimecodeLine line() {
        return latestFirst.getFirst().line();
    }

    /** The frame at that instant, by the line that was in force then. */
    long frameAt(long nanos) {
        Stretch latest = latestFirst.getFirst();
        if (nanos >= latest.since()) {
            return latest.frameAt(nanos);
        }
        Stretch found = latest;
        for (Iterator<Stretch> earlier = latestFirst.iterator(); earlier.hasNext() && nanos < found.since(); ) {
            found = earlier.next();
        }
        return found.frameAt(nanos);
    }
}
