package instep.daemon;

import java.util.Arrays;
import java.util.BitSet;

/** Whether every recorder really rolls in a take, as far as recorders say it. As exact as the times that it is told. */
final class RollCheck {
    static final long NEVER = Long.MAX_VALUE;

    private final BitSet recorders;
    private final BitSet watched;
    private final long[] within;
    private final long[] deadline;
    private final BitSet rolls = new BitSet();
    /** Told as stopped or silent, and not heard of since. */
    private final BitSet told = new BitSet();

    private boolean open;

    /**
     * Watches some gear.
     *
     * @param within by its number: how long each may take after the beginning of a take
     */
    RollCheck(BitSet watched, long[] within) {
        recorders = watched;
        this.watched = (BitSet) watched.clone();
        this.within = within.clone();
        deadline = new long[within.length];
        forget();
    }

    /** Only those of them are watched from now on. */
    void only(BitSet gear) {
        watched.clear();
        watched.or(recorders);
        watched.and(gear);
    }

    /** Goes on with what another knows of gear that is the same; recorders that are new are watched from the next take on. */
    void goOnFrom(RollCheck other, int[] theirs) {
        open = other.open;
        for (int gear = 0; gear < theirs.length; gear++) {
            int old = theirs[gear];
            if (old >= 0 && watched.get(gear) && other.watched.get(old)) {
                rolls.set(gear, other.rolls.get(old));
                told.set(gear, other.told.get(old));
                deadline[gear] = other.deadline[old];
            }
        }
    }

    void takeOpened(long at) {
        forget();
        open = true;
        for (int gear = watched.nextSetBit(0); gear >= 0; gear = watched.nextSetBit(gear + 1)) {
            deadline[gear] = at + within[gear];
        }
    }

    /** A take goes on that an earlier run has opened. Recorders roll on without us; whoever says that it does not, or cannot be reached, has stopped. */
    void takeResumed() {
        forget();
        open = true;
        rolls.or(watched);
    }

    void takeClosed() {
        forget();
        open = false;
    }

    private void forget() {
        rolls.clear();
        told.clear();
        Arrays.fill(deadline, NEVER);
    }

    /** Whether that gear has still to say that it rolls. */
    boolean awaits(int gear) {
        return deadline[gear] != NEVER;
    }

    /** A recorder says whether it rolls; true if it has stopped in the middle of a take. */
    boolean said(int gear, boolean rolling) {
        if (!open || !watched.get(gear)) {
            return false;
        }
        if (rolling) {
            rolls.set(gear);
            told.clear(gear);
            deadline[gear] = NEVER;
            return false;
        }
        // One that has not begun yet may still say so: it has its time.
        return rolls.get(gear) && stopped(gear);
    }

    /** It cannot be reached any more; true if that is in the middle of a take, when nobody knows whether it goes on. */
    boolean lost(int gear) {
        return open && watched.get(gear) && !told.get(gear) && stopped(gear);
    }

    private boolean stopped(int gear) {
        rolls.clear(gear);
        told.set(gear);
        deadline[gear] = NEVER;
        return true;
    }

    long nextDeadline() {
        long next = NEVER;
        for (int gear = watched.nextSetBit(0); gear >= 0; gear = watched.nextSetBit(gear + 1)) {
            next = Math.min(next, deadline[gear]);
        }
        return next;
    }

    /** A recorder that has not said in time that it rolls; -1 if there is none. It is told once. */
    int due(long now) {
        for (int gear = watched.nextSetBit(0); gear >= 0; gear = watched.nextSetBit(gear + 1)) {
            if (deadline[gear] <= now) {
                deadline[gear] = NEVER;
                told.set(gear);
                return gear;
            }
        }
        return -1;
    }
}
