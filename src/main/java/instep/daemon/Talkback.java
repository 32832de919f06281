package instep.daemon;

import instep.config.Settings;
import instep.gear.GearSettings;
import instep.gear.Listening;
import instep.gear.ReplyPattern;
import instep.journal.GearFault;
import instep.journal.Happening;
import instep.machine.Template;
import instep.machine.Values;
import instep.time.Durations;
import java.util.BitSet;
import java.util.List;
import java.util.Optional;
import java.util.function.IntUnaryOperator;

/**
 * What follows from what gear says: values and events for the machine, which cuts are on air and whose they are, and whether the recorders roll. All of it
 * follows from the replies and from time, so that the same journal gives it again. Loop thread only.
 */
final class Talkback {
    private static final long NANOS_PER_MICRO = 1_000;

    /** Where it happens. */
    interface Desk {
        /** Writes something down. */
        long note(long at, Happening what);

        /** Tells the machine. */
        void raise(String event, long record);

        /** Gives a variable of the machine that text; false if it cannot be that. */
        boolean assign(String variable, String text);

        /** Somebody at that gear has put the angle on air. */
        void follow(int gear, int angle, long record, long at);

        /** That gear should have said by now that what it was told under that ticket is on air. */
        void overdue(int gear, long ticket);

        /** Whether that gear can be reached. */
        boolean isUp(int gear);

        /** The angle that should be on air; -1: none yet. */
        int onAir();

        /** The instant that is being worked on. */
        long now();
    }

    private final Settings settings;
    private final Clockwork clock;
    private final Desk desk;
    private final Ears ears;
    private final Confirmations confirmations;
    private final Unconfirmed unconfirmed;
    private final RollCheck rollCheck;
    private long lastCut = Confirmations.NONE;

    Talkback(Settings settings, Clockwork clock, Desk desk) {
        this.settings = settings;
        this.clock = clock;
        this.desk = desk;
        ears = new Ears(settings);
        int count = settings.gear().size();
        long[] windows = new long[count];
        long[] within = new long[count];
        BitSet recorders = new BitSet();
        for (int gear = 0; gear < count; gear++) {
            Listening listening = settings.listening().get(gear);
            windows[gear] =
                    listening.tellsOnAir() ? clock.passes(window(settings.gear().get(gear), listening)) : 0;
            within[gear] = clock.passes(listening.rollWithinNanos());
            recorders.set(gear, listening.tellsRolling());
        }
        confirmations = new Confirmations(windows);
        unconfirmed = new Unconfirmed(settings, clock::passes, desk::isUp);
        rollCheck = new RollCheck(recorders, within);
    }

    private static long window(GearSettings gear, Listening listening) {
        return gear.staleAfterNanos() + listening.confirmWithinNanos();
    }

    /** Goes on where another was, with gear that is in part the same. */
    void goOnFrom(Talkback other, int[] theirs) {
        IntUnaryOperator here =
                angle -> settings.angle(other.settings.angles().get(angle).name());
        confirmations.goOnFrom(other.confirmations, theirs, here);
        unconfirmed.goOnFrom(other.unconfirmed, theirs, here);
        rollCheck.goOnFrom(other.rollCheck, theirs);
        lastCut = other.lastCut;
    }

    /** Only these recorders are asked for: others do not exist, and do as they are told. */
    void rollCheckOnly(BitSet gear) {
        rollCheck.only(gear);
    }

    /** What the mapping takes from a reply; nothing, mostly. */
    List<Ears.Heard> look(int gear, String text) {
        return ears.look(gear, text);
    }

    /** Whether an answer is not worth a record, since it is what was said before and nobody waits for it. */
    boolean isOld(int gear, String answer) {
        return ears.isOld(gear, answer) && !rollCheck.awaits(gear) && !confirmations.awaits(gear, desk.now());
    }

    /** Does what follows from a reply that is in that record and was heard at that time. */
    void heed(int gear, List<Ears.Heard> heard, long record, long at) {
        for (Ears.Heard one : heard) {
            ReplyPattern pattern = one.pattern();
            pattern.set().forEach((name, to) -> assign(gear, name, to.render(one.values(), Template.Escape.NONE), at));
            if (pattern.onAir() != null) {
                onAir(gear, pattern.onAir(), one.values(), record, at);
            }
            if (pattern.rolling() != null && rollCheck.said(gear, pattern.rolling())) {
                stopped(gear, "it does not roll any more, and the take is open", at);
            }
            if (pattern.event() != null) {
                desk.raise(pattern.event(), record);
            }
        }
        tellTrouble(at);
    }

    /** Tells what is wrong with a pattern, if that has just been found. */
    void tellTrouble(long at) {
        ears.trouble().ifPresent(sentence -> desk.note(at, Happening.fault(sentence)));
    }

    private void assign(int gear, String variable, String text, long at) {
        if (!desk.assign(variable, text)) {
            desk.note(
                    at,
                    Happening.fault(name(gear) + " gives \"" + text + "\" for the value " + variable
                            + ", which is of another kind or out of its bounds"));
        }
    }

    private void onAir(int gear, ReplyPattern.AngleName name, Values values, long record, long at) {
        int angle = ears.angle(name, values);
        if (angle < 0) {
            desk.note(
                    at,
                    Happening.fault(
                            name(gear) + " has \"" + name.word(values) + "\" on air, which is none of the angles"));
            return;
        }
        unconfirmed.said(gear, angle);
        switch (confirmations.said(gear, angle, desk.onAir(), record, desk.now())) {
            case CONFIRMS -> confirmed(gear, angle, at);
            case OTHER -> desk.follow(gear, angle, record, at);
            case KNOWN, STANDS_ASIDE -> {}
        }
    }

    private void confirmed(int gear, int angle, long at) {
        long micros = clock.lasted(at - confirmations.since()) / NANOS_PER_MICRO;
        String to = settings.angles().get(angle).name();
        desk.note(at, Happening.confirmed(name(gear), to, confirmations.record(), micros, confirmations.isAgain()));
        if (confirmations.record() == lastCut) {
            lastCut = Confirmations.NONE;
        }
    }

    /** The machine has cut, and tells some gear so. */
    void asked(int angle, long cut, long at) {
        lastCut = cut;
        confirmations.asked(angle, cut, at);
        unconfirmed.asked(angle, cut);
    }

    /** Nobody has been told of a cut: there is nothing to confirm. */
    void cutWithoutAsking() {
        lastCut = Confirmations.NONE;
        for (int gear = 0; gear < settings.gear().size(); gear++) {
            unconfirmed.forget(gear);
        }
    }

    /** Somebody at that gear has made the cut; other gear is told of it. */
    void cutByOther(int gear, int angle, long cut) {
        lastCut = Confirmations.NONE;
        unconfirmed.asked(angle, cut);
        unconfirmed.forget(gear);
    }

    /** That gear is told again what should be on air, under that ticket. */
    void askedAgain(int gear, int angle, long ticket, long at) {
        confirmations.askedAgain(gear, angle, lastCut, at);
        unconfirmed.asked(gear, angle, ticket);
    }

    /** That gear was sent something. */
    void sent(int gear, long ticket, long at) {
        unconfirmed.sent(gear, ticket, at);
    }

    /** What is to be said, once, of gear that has not confirmed what it was told under that ticket; empty if it has, or has been told something else since. */
    Optional<Happening> giveUp(int gear, long ticket) {
        if (!unconfirmed.awaits(gear, ticket)) {
            return Optional.empty();
        }
        Happening fault = GearFault.unconfirmed(name(gear), unconfirmed.words(gear), ticket, unconfirmed.angle(gear));
        unconfirmed.forget(gear);
        return Optional.of(fault);
    }

    /** That gear cannot be reached any more. */
    void lost(int gear, long at) {
        confirmations.lost(gear);
        unconfirmed.lost(gear);
        if (rollCheck.lost(gear)) {
            stopped(gear, "its link is lost, and the take is open", at);
        }
    }

    void takeOpened(long at) {
        rollCheck.takeOpened(at);
    }

    void takeResumed() {
        rollCheck.takeResumed();
    }

    void takeClosed() {
        rollCheck.takeClosed();
    }

    /** When something is due next. */
    long nextDeadline() {
        long said = Math.min(rollCheck.nextDeadline(), confirmations.nextDeadline());
        return Math.min(said, unconfirmed.nextDeadline());
    }

    /** Does what is due at that instant. */
    void advanceTo(long due) {
        int silent = rollCheck.due(due);
        int other = silent < 0 ? confirmations.due(due) : -1;
        if (silent >= 0) {
            String within = Durations.ofNanos(settings.listening().get(silent).rollWithinNanos());
            String text = "it has not said within " + within + " that it rolls: look at it";
            desk.raise(name(silent) + ".silent", desk.note(due, GearFault.notRolling(name(silent), text, true)));
        } else if (other >= 0) {
            int angle = confirmations.take(other);
            if (angle != desk.onAir()) {
                desk.follow(other, angle, confirmations.record(), due);
            }
        } else {
            int late = unconfirmed.due(due);
            if (late >= 0) {
                desk.overdue(late, unconfirmed.ticket(late));
            }
        }
    }

    private void stopped(int gear, String text, long at) {
        desk.raise(name(gear) + ".stopped", desk.note(at, GearFault.notRolling(name(gear), text, false)));
    }

    private String name(int gear) {
        return settings.gear().get(gear).name();
    }
}
