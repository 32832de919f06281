package instep.daemon;

import instep.config.AngleSettings;
import instep.config.Settings;
import instep.time.Durations;
import java.util.Arrays;
import java.util.BitSet;
import java.util.function.IntPredicate;
import java.util.function.IntUnaryOperator;
import java.util.function.LongUnaryOperator;

/**
 * The cut that each gear which says what is on air still has to confirm: always the newest one, from when it was sent on. What was never sent, or has been replaced
 * by another cut, is not waited for. As exact as the times that it is told; allocates nothing after construction. Loop thread only.
 */
final class Unconfirmed {
    static final long NEVER = Long.MAX_VALUE;

    private static final int NONE = -1;

    private final Settings settings;
    private final IntPredicate up;
    private final long[] within;
    /** By gear: the angles that it can say, and those of which it is told nothing itself. */
    private final BitSet[] sayable;

    private final BitSet[] unsaid;
    private final int[] angles;
    private final long[] tickets;
    private final long[] deadlines;

    /** Nothing was asked for yet; {@code passes} says how long times of the settings are here, {@code up} which gear can be reached. */
    Unconfirmed(Settings settings, LongUnaryOperator passes, IntPredicate up) {
        this.settings = settings;
        this.up = up;
        int count = settings.gear().size();
        within = new long[count];
        Arrays.setAll(
                within,
                gear -> passes.applyAsLong(settings.listening().get(gear).confirmWithinNanos()));
        sayable = new BitSet[count];
        unsaid = new BitSet[count];
        for (int gear = 0; gear < count; gear++) {
            sayable[gear] = new BitSet();
            unsaid[gear] = new BitSet();
            for (int angle = 0; angle < settings.angles().size(); angle++) {
                AngleSettings one = settings.angles().get(angle);
                sayable[gear].set(angle, settings.listening().get(gear).tellsOnAir(one.name()));
                unsaid[gear].set(angle, one.cut().payloads(gear).isEmpty());
            }
        }
        angles = new int[count];
        Arrays.fill(angles, NONE);
        tickets = new long[count];
        deadlines = new long[count];
        Arrays.fill(deadlines, NEVER);
    }

    /** Goes on with gear that is the same; an angle that is gone is waited for no more. */
    void goOnFrom(Unconfirmed other, int[] theirs, IntUnaryOperator angle) {
        for (int gear = 0; gear < theirs.length; gear++) {
            int old = theirs[gear];
            if (old >= 0 && other.angles[old] != NONE) {
                asked(gear, angle.applyAsInt(other.angles[old]), other.tickets[old]);
                deadlines[gear] = angles[gear] == NONE ? NEVER : other.deadlines[old];
            }
        }
    }

    /** All gear that can say so has to say that angle, once the cut has been sent under that ticket. */
    void asked(int angle, long ticket) {
        for (int gear = 0; gear < angles.length; gear++) {
            asked(gear, angle, ticket);
        }
    }

    /** The same for one gear. */
    void asked(int gear, int angle, long ticket) {
        angles[gear] = angle >= 0 && sayable[gear].get(angle) ? angle : NONE;
        tickets[gear] = ticket;
        deadlines[gear] = NEVER;
    }

    /** Nothing has to be said by that gear. */
    void forget(int gear) {
        angles[gear] = NONE;
        deadlines[gear] = NEVER;
    }

    /** Something was sent to that gear. Gear that is not told of the cut itself has its time from then on, too. */
    void sent(int gear, long ticket, long at) {
        for (int one = 0; one < angles.length; one++) {
            if (angles[one] != NONE && tickets[one] == ticket && isItsTime(one, gear)) {
                deadlines[one] = at + within[one];
            }
        }
    }

    private boolean isItsTime(int gear, int told) {
        return gear == told || (unsaid[gear].get(angles[gear]) && up.test(gear));
    }

    /** That gear says that the angle is on air. */
    void said(int gear, int angle) {
        if (angles[gear] == angle) {
            forget(gear);
        }
    }

    /** That gear cannot be reached: what is still on its way to it has its time when it is sent. */
    void lost(int gear) {
        deadlines[gear] = NEVER;
    }

    /** When the next one should have been confirmed. */
    long nextDeadline() {
        long next = NEVER;
        for (long deadline : deadlines) {
            next = Math.min(next, deadline);
        }
        return next;
    }

    /** The gear that should have confirmed by then; -1 if there is none. It is told once. */
    int due(long now) {
        for (int gear = 0; gear < deadlines.length; gear++) {
            if (deadlines[gear] <= now) {
                deadlines[gear] = NEVER;
                return gear;
            }
        }
        return -1;
    }

    /** Whether that gear still has to confirm what was sent under that ticket. */
    boolean awaits(int gear, long ticket) {
        return angles[gear] != NONE && tickets[gear] == ticket;
    }

    /** Under which it was told what it should say. */
    long ticket(int gear) {
        return tickets[gear];
    }

    /** The name of the angle that it should say. */
    String angle(int gear) {
        return settings.angles().get(angles[gear]).name();
    }

    /** What is wrong, for people. */
    String words(int gear) {
        String time = Durations.rounded(settings.listening().get(gear).confirmWithinNanos());
        return "it has not said within " + time + " that " + angle(gear) + " is on air: look at it";
    }
}
