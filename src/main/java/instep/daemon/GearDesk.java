package instep.daemon;

import instep.config.Settings;
import instep.gear.Crew;
import instep.gear.GearListener;
import instep.gear.Listening;
import instep.journal.GearFault;
import instep.journal.Happening;
import instep.machine.Succession;
import java.util.BitSet;
import java.util.Locale;
import java.util.function.BiConsumer;
import java.util.function.Function;
import org.jspecify.annotations.Nullable;

/**
 * The gear that the machine speaks with: what gear reports is noted, and what follows from it is told to the machine, each report in a turn of its own. Loop thread
 * only.
 */
public final class GearDesk implements GearListener, Talkback.Desk {
    private static final long NANOS_PER_MICRO = 1_000;

    private final Settings settings;
    private final Chronicle chronicle;
    private final Turns turns;
    private final Clockwork clock;
    private final Crew crew;
    private final Hearing hearing;
    private final Talkback talkback;
    private final Outcome outcome;
    private final MachineDesk machine;
    private final GearTimecode timecode;
    private final BitSet up = new BitSet();
    /** What is heard from now on comes too late. */
    private boolean isOver;
    /** Who goes on in this one's place, and by gear its number there; -1: it is gone. */
    private @Nullable GearDesk heir;

    private int[] numbersThere = {};

    /** With whoever carries out what is said; they may report to the listener that they are given. */
    GearDesk(Settings settings, Chronicle chronicle, Turns turns, Function<GearListener, ? extends Crew> crew) {
        this.settings = settings;
        this.chronicle = chronicle;
        this.turns = turns;
        clock = turns.clock();
        this.crew = crew.apply(this);
        timecode = new GearTimecode(settings);
        talkback = new Talkback(settings, clock, this);
        hearing = new Hearing(settings, chronicle, turns, talkback, timecode, this::hasMoreToHear);
        outcome = new Outcome(settings, chronicle, turns.subject(), this.crew, talkback, this::ofMachine);
        machine = new MachineDesk(settings, chronicle, turns, outcome, up::get);
        turns.add(talkback::nextDeadline, talkback::advanceTo);
    }

    /** What is still on its way to this one goes on to another in its place. */
    void leaveTo(GearDesk other, Kept kept) {
        heir = other;
        numbersThere = Kept.turned(kept.gear(), settings.gear().size());
    }

    /** Goes on where another was, which has made way, as of the record that says so. */
    void goOnFrom(GearDesk other, Kept kept, Succession succession, long record) {
        for (int gear = 0; gear < kept.gear().length; gear++) {
            up.set(gear, kept.gear()[gear] >= 0 && other.up.get(kept.gear()[gear]));
        }
        outcome.goOnFrom(other.outcome);
        talkback.goOnFrom(other.talkback, kept.gear());
        crew.start();
        for (int gear = 0; gear < kept.gear().length; gear++) {
            int theirs = kept.gear()[gear];
            if (theirs >= 0 && outcome.isToldOtherwise(gear, other.settings, theirs)) {
                outcome.cutAgain(gear, record, turns.now());
            }
        }
        machine.goOnFrom(other.machine, succession, kept.contacts());
    }

    /** See {@link Outcome#afterTake}. */
    void afterTake(Runnable task) {
        outcome.afterTake(task);
    }

    /** Whether what that gear has said still counts here; lets somebody else hear it who has come in this one's place. */
    private boolean hasMoreToHear(int gear, BiConsumer<GearDesk, Integer> elsewhere) {
        return !isOver && !isLeftTo(gear, elsewhere);
    }

    /** Lets somebody else do it who has come in this one's place; false if nobody has. */
    private boolean isLeftTo(int gear, BiConsumer<GearDesk, Integer> task) {
        GearDesk other = heir;
        if (other != null && numbersThere[gear] >= 0) {
            task.accept(other, numbersThere[gear]);
        }
        return other != null;
    }

    /** Lets it be done by who has come in this one's place, or here when the turn is over that is under way; false if it can be done now. */
    private boolean isPutOff(int gear, BiConsumer<GearDesk, Integer> task) {
        if (isLeftTo(gear, task)) {
            return true;
        }
        if (turns.isBusy()) {
            clock.later(() -> task.accept(this, gear));
            return true;
        }
        return false;
    }

    private @Nullable Object ofMachine(String name) {
        return machine.running().value(name);
    }

    /** Whom what follows is told. */
    MachineDesk machine() {
        return machine;
    }

    Crew crew() {
        return crew;
    }

    /** What gear tells of its own timecode. */
    GearTimecode timecode() {
        return timecode;
    }

    /** Only these recorders are asked whether they roll; the others of the settings do not exist. */
    public void rollCheckOnly(BitSet gear) {
        talkback.rollCheckOnly(gear);
    }

    @Override
    public boolean isUp(int gear) {
        return up.get(gear);
    }

    int countUp() {
        return up.cardinality();
    }

    /** Lets the gear go. */
    void close() {
        isOver = true;
        crew.close();
    }

    @Override
    public void link(int gear, LinkState state, String why) {
        if (isPutOff(gear, (desk, number) -> desk.link(number, state, why))) {
            return;
        }
        String name = settings.gear().get(gear).name();
        long heard = clock.now();
        turns.about(Stalls.Turn.LINK, name, Long.MIN_VALUE);
        turns.beginSettled(heard);
        long record = chronicle.note(heard, Happening.link(name, state.name().toLowerCase(Locale.ROOT), why));
        boolean was = up.get(gear);
        up.set(gear, state == LinkState.UP);
        if (state == LinkState.UP) {
            resync(gear, record);
            raise(name + ".up", record);
        } else if (was) {
            raise(name + ".lost", record);
            talkback.lost(gear, heard);
        }
        turns.end();
    }

    private void resync(int gear, long record) {
        Listening.Resync resync = settings.listening().get(gear).resync();
        if (resync.angle()) {
            outcome.cutAgain(gear, record, turns.now());
        } else if (resync.message() != null) {
            settings.messages().stream()
                    .filter(message -> message.name().equals(resync.message()))
                    .forEach(message -> crew.sendTo(gear, message, machine.running(), record));
        }
    }

    @Override
    public void sent(int gear, long ticket, String text, long nanos) {
        long decided = turns.subject().tickets().decidedAt(ticket);
        long at = clock.timeOf(nanos);
        long micros = decided == Tickets.FORGOTTEN ? -1 : clock.lasted(at - decided) / NANOS_PER_MICRO;
        chronicle.note(at, Happening.sent(settings.gear().get(gear).name(), text, ticket, micros));
        talkback.sent(gear, ticket, at);
        if (!turns.isBusy()) {
            turns.flushUnlessBusy();
            clock.arm();
        }
    }

    @Override
    public void missed(int gear, long ticket, String text, String why) {
        chronicle.note(clock.now(), Happening.missed(settings.gear().get(gear).name(), text, why, ticket));
        turns.flushUnlessBusy();
    }

    @Override
    public void reply(int gear, long answered, String text, long nanos) {
        hearing.reply(gear, answered, text, nanos);
    }

    @Override
    public void answer(int gear, long answered, String body, long nanos) {
        hearing.answer(gear, answered, body, nanos);
    }

    @Override
    public void asked(int gear, long nanos) {
        timecode.asked(gear, nanos);
    }

    @Override
    public void refused(int gear, long ticket, boolean silent, @Nullable String why) {
        String name = settings.gear().get(gear).name();
        String text = why == null ? (silent ? "no answer" : "it refused") : why;
        Happening what = silent ? GearFault.silent(name, text, ticket) : GearFault.refused(name, text, ticket);
        fault(gear, what, silent);
    }

    /** That gear has not confirmed the cut to that angle, of which it was told under that ticket. */
    public void unconfirmed(int gear, long ticket, String angle, String why) {
        fault(gear, GearFault.unconfirmed(settings.gear().get(gear).name(), why, ticket, angle), true);
    }

    /** Gear has done something wrong just now. */
    private void fault(int gear, Happening what, boolean silent) {
        if (isPutOff(gear, (desk, number) -> desk.fault(number, what, silent))) {
            return;
        }
        String name = settings.gear().get(gear).name();
        long heard = clock.now();
        turns.about(Stalls.Turn.REFUSAL, name, Long.MIN_VALUE);
        turns.beginSettled(heard);
        raise(name + (silent ? ".silent" : ".refused"), chronicle.note(heard, what));
        turns.end();
    }

    /** After what has been heard meanwhile, as {@link Hearing} has it. */
    @Override
    public void overdue(int gear, long ticket) {
        clock.later(() -> clock.later(() -> giveUp(gear, ticket)));
    }

    private void giveUp(int gear, long ticket) {
        if (!isOver && !isLeftTo(gear, (other, number) -> other.giveUp(number, ticket))) {
            talkback.giveUp(gear, ticket).ifPresent(what -> fault(gear, what, true));
        }
    }

    @Override
    public long note(long at, Happening what) {
        return chronicle.note(at, what);
    }

    /** Tells the machine what happened to gear or a device, within a turn. */
    @Override
    public void raise(String name, long record) {
        machine.raise(name, record);
    }

    @Override
    public boolean assign(String variable, String text) {
        return machine.assign(variable, text);
    }

    @Override
    public void follow(int gear, int angle, long record, long at) {
        outcome.cutBy(gear, angle, record, at, () -> machine.cutByOther(angle));
    }

    @Override
    public int onAir() {
        return outcome.onAir();
    }

    @Override
    public long now() {
        return turns.now();
    }
}
