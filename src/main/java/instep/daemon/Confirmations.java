package instep.daemon;

import java.util.Arrays;
import java.util.function.IntUnaryOperator;

/**
 * Cuts that gear has not yet said to be on air, and with them the question whose a cut is of which gear tells. Gear says things in their order: so a word
 * about an angle confirms the oldest cut to it that is on its way, and those before that one will not be heard of any more. A word about an angle that was not
 * asked for is somebody else's cut, unless one of ours is still on its way: then it stands aside until that one is confirmed or given up. Allocates
 * nothing after construction; as exact as the times that it is told.
 */
final class Confirmations {
    /** No cut. */
    static final long NONE = -1;

    static final long NEVER = Long.MAX_VALUE;

    private static final int MOST = 32;

    /** What follows from a word of gear. */
    enum Verdict {
        /** A cut of ours is on air: see {@link #record} and {@link #since}. */
        CONFIRMS,
        /** It says what is known. */
        KNOWN,
        /** It may be somebody else's cut, which is known when ours has come through or has not. */
        STANDS_ASIDE,
        /** Somebody else has cut. */
        OTHER
    }

    /** What one gear has been asked for, oldest first, and what it has said besides. */
    private static final class Way {
        private final int[] angles = new int[MOST];
        private final long[] records = new long[MOST];
        private final long[] since = new long[MOST];
        private final boolean[] again = new boolean[MOST];
        private final long window;
        private int count;
        private int aside = -1;
        private long asideRecord;

        Way(long window) {
            this.window = window;
        }

        void goOnFrom(Way other, IntUnaryOperator angle) {
            for (int i = 0; i < other.count; i++) {
                int same = angle.applyAsInt(other.angles[i]);
                if (same >= 0) {
                    angles[count] = same;
                    records[count] = other.records[i];
                    again[count] = other.again[i];
                    since[count++] = other.since[i];
                }
            }
            aside = other.aside < 0 ? -1 : angle.applyAsInt(other.aside);
            asideRecord = other.asideRecord;
        }

        void drop(int first) {
            System.arraycopy(angles, first, angles, 0, count - first);
            System.arraycopy(records, first, records, 0, count - first);
            System.arraycopy(since, first, since, 0, count - first);
            System.arraycopy(again, first, again, 0, count - first);
            count -= first;
        }

        void dropGivenUp(long now) {
            int old = 0;
            while (old < count && now - since[old] >= window) {
                old++;
            }
            drop(old);
        }

        int find(int angle) {
            for (int i = 0; i < count; i++) {
                if (angles[i] == angle) {
                    return i;
                }
            }
            return -1;
        }

        /** When the newest is given up. */
        long end() {
            return count == 0 ? Long.MIN_VALUE : since[count - 1] + window;
        }
    }

    private final Way[] ways;
    private long record = NONE;
    private long since;
    private boolean again;

    /** For gear that is given up after so long, by its number; 0 for gear that says nothing about what is on air. */
    Confirmations(long[] windows) {
        ways = Arrays.stream(windows).mapToObj(Way::new).toArray(Way[]::new);
    }

    /** Goes on with what gear that is the same has still to say; an angle that is gone is waited for no more. */
    void goOnFrom(Confirmations other, int[] theirs, IntUnaryOperator angle) {
        for (int gear = 0; gear < ways.length; gear++) {
            if (theirs[gear] >= 0 && tells(gear)) {
                ways[gear].goOnFrom(other.ways[theirs[gear]], angle);
            }
        }
    }

    private boolean tells(int gear) {
        return ways[gear].window > 0;
    }

    /**
     * All gear will say that angle.
     *
     * @param cut the record to be confirmed
     */
    void asked(int angle, long cut, long now) {
        for (int gear = 0; gear < ways.length; gear++) {
            asked(gear, angle, cut, now, false);
        }
    }

    /** One gear, which has not heard what it was asked before, will say that angle; {@link #NONE} if there is nothing to confirm. */
    void askedAgain(int gear, int angle, long cut, long now) {
        lost(gear);
        asked(gear, angle, cut, now, true);
    }

    private void asked(int gear, int angle, long cut, long now, boolean again) {
        Way way = ways[gear];
        if (tells(gear)) {
            way.aside = -1;
            if (way.count == MOST) {
                way.drop(1);
            }
            way.angles[way.count] = angle;
            way.records[way.count] = cut;
            way.again[way.count] = again;
            way.since[way.count++] = now;
        }
    }

    /** That gear cannot be reached: what was asked will not be heard of any more. */
    void lost(int gear) {
        ways[gear].count = 0;
        ways[gear].aside = -1;
    }

    /** Whether that gear still has something to confirm. */
    boolean awaits(int gear, long now) {
        ways[gear].dropGivenUp(now);
        return ways[gear].count > 0;
    }

    /**
     * That gear says that the angle is on air.
     *
     * @param current what should be; -1: nothing
     * @param word the record in which it says so
     */
    Verdict said(int gear, int angle, int current, long word, long now) {
        Way way = ways[gear];
        way.dropGivenUp(now);
        int asked = way.find(angle);
        if (asked >= 0) {
            record = way.records[asked];
            since = way.since[asked];
            again = way.again[asked];
            way.drop(asked + 1);
            way.aside = -1;
            return record == NONE ? Verdict.KNOWN : Verdict.CONFIRMS;
        } else if (angle == current) {
            way.aside = -1;
            return Verdict.KNOWN;
        } else if (way.count > 0) {
            way.aside = angle;
            way.asideRecord = word;
            return Verdict.STANDS_ASIDE;
        }
        return Verdict.OTHER;
    }

    /** The cut that was confirmed last. */
    long record() {
        return record;
    }

    /** Whether the gear has said so because it was told again. */
    boolean isAgain() {
        return again;
    }

    /** When that was asked. */
    long since() {
        return since;
    }

    /** When something that stands aside will count; {@link #NEVER} if nothing does. */
    long nextDeadline() {
        long next = NEVER;
        for (Way way : ways) {
            if (way.aside >= 0) {
                next = Math.min(next, way.end());
            }
        }
        return next;
    }

    /** The gear whose word counts now, since ours has not come through; -1 if there is none. */
    int due(long now) {
        for (int gear = 0; gear < ways.length; gear++) {
            if (ways[gear].aside >= 0 && ways[gear].end() <= now) {
                return gear;
            }
        }
        return -1;
    }

    /** Takes the angle that stood aside; {@link #record} is where it was said. */
    int take(int gear) {
        int angle = ways[gear].aside;
        record = ways[gear].asideRecord;
        lost(gear);
        return angle;
    }
}
