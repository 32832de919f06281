package instep.daemon;

import instep.clock.Chase;
import instep.config.Settings;
import instep.gear.Crew;
import instep.gear.GearListener;
import instep.gear.Rack;
import instep.journal.Happening;
import instep.journal.StandingRecord;
import instep.machine.Machine;
import instep.machine.Succession;
import instep.machine.Whereabouts;
import java.util.function.Consumer;
import java.util.function.Function;
import org.jspecify.annotations.Nullable;

/**
 * Where the parts meet, on the loop thread: the pedals' desk, the machine's and the gear's, with all that is written down of them; how they begin, end, and hand over to those of another
 * configuration; and what happens to the desk itself, to its timecode and its journal.
 */
public final class Switchboard {
    private final Settings settings;
    private final Chronicle chronicle;
    private final Subject subject;
    private final Turns turns;
    private final GearDesk gear;
    private final MachineDesk machine;
    private final PedalDesk pedals;
    private @Nullable Switchboard heir;

    /** With the gear itself. */
    public Switchboard(Settings settings, Chronicle chronicle, Loop loop) {
        this(
                settings,
                chronicle,
                loop,
                listener -> new Rack(loop.eventLoop(), settings.gear(), settings.listening(), listener));
    }

    /** With whoever carries out what is said; they may report to the listener that they are given. */
    public Switchboard(
            Settings settings, Chronicle chronicle, Clockwork clock, Function<GearListener, ? extends Crew> crew) {
        this(settings, chronicle, clock, crew, new Tickets());
    }

    private Switchboard(
            Settings settings,
            Chronicle chronicle,
            Clockwork clock,
            Function<GearListener, ? extends Crew> crew,
            Tickets tickets) {
        this.settings = settings;
        this.chronicle = chronicle;
        subject = new Subject(settings.contacts().size(), tickets);
        turns = new Turns(clock, chronicle, subject);
        gear = new GearDesk(settings, chronicle, turns, crew);
        machine = gear.machine();
        pedals = new PedalDesk(settings, chronicle, turns, machine, gear.crew());
    }

    /** Connects the gear and enters the initial state, at the instant of the record that says so; takes are counted on from the last one of the day. */
    public void start(long startRecord, long nanos, long lastTake) {
        machine.running().countTakesFrom(lastTake);
        turns.first("start", startRecord, nanos);
        gear.crew().start();
        machine.start(nanos);
        turns.end();
    }

    /** Whether a take that was left open there can be gone on with. */
    public boolean canResume(Whereabouts standing) {
        return machine.running().canResume(standing);
    }

    /**
     * Goes on with a take that an earlier run left open, as {@link #start} but in the state in which that one stood.
     *
     * @param standing must be one that the chart can resume
     */
    public void resume(long startRecord, long nanos, Whereabouts standing) {
        turns.first("take.resumed", startRecord, nanos);
        chronicle.note(nanos, StandingRecord.of(standing));
        gear.crew().start();
        machine.resume(standing, nanos);
        machine.raise("take.resumed", startRecord);
        turns.end();
    }

    /**
     * Hands over to a switchboard for other settings, between two turns; this one must not be used any more.
     *
     * @param crew takes the place of this one's
     * @param nanos now
     */
    public Switchboard handOver(Settings next, Function<GearListener, ? extends Crew> crew, long nanos) {
        Kept kept = Kept.of(settings, next);
        turns.about(Stalls.Turn.RELOAD, "", Long.MIN_VALUE);
        long at = turns.beginSettled(nanos);
        subject.about("reload", -1, at);
        Succession succession = machine.makeWayFor(next.chart(), kept.gonePedals(), at);
        Switchboard other = new Switchboard(next, chronicle, turns.clock(), crew, subject.tickets());
        heir = other;
        gear.leaveTo(other.gear, kept);
        String change = kept.words(settings, next) + "; " + states(succession);
        long record = chronicle.note(nanos, Happening.reloaded(next.file(), next.fingerprint(), next.text(), change));
        other.goOnFrom(this, kept, succession, record, at);
        return other;
    }

    private static String states(Succession succession) {
        String before = String.join(" ", succession.before());
        String after = String.join(" ", succession.after());
        return before.equals(after) ? "state " + before + " kept" : "state " + before + " is gone, now " + after;
    }

    private void goOnFrom(Switchboard other, Kept kept, Succession succession, long record, long at) {
        turns.about(Stalls.Turn.RELOAD, "", Long.MIN_VALUE);
        turns.first("reload", record, at);
        pedals.goOnFrom(other.pedals, kept);
        gear.goOnFrom(other.gear, kept, succession, record);
        turns.end();
    }

    /** The machine as it is now. */
    public Machine machine() {
        return machine.running();
    }

    /** Whether no gesture is half made. */
    boolean isBetweenGestures() {
        return machine.isBetweenGestures();
    }

    /** The number of the take that is open, or of the last one. */
    long take() {
        return machine.running().take();
    }

    /** Has something done, once, when the next take ends; within its turn. */
    void afterTake(Runnable task) {
        gear.afterTake(task);
    }

    /** Writes something down that happened just now. */
    void note(Happening what) {
        chronicle.note(turns.clock().now(), what);
        turns.flushUnlessBusy();
    }

    /** Whether a take is open. */
    public boolean isRolling() {
        return machine.running().isRolling();
    }

    /** Runs all that is due up to and including that instant. */
    public void settle(long nanos) {
        turns.begin(nanos);
        turns.end();
    }

    /** Lets the gear go, runs what is due, and writes down why it ends. */
    public void stop(String why) {
        gear.close();
        long at = turns.begin(turns.clock().now());
        if (isRolling()) {
            chronicle.note(
                    at,
                    Happening.note("ended in the middle of take "
                            + machine.running().take() + ": the recorders were not told to stop"));
        }
        chronicle.note(at, Happening.stop(why));
        turns.end();
    }

    /** Where what devices do has to go. */
    public PedalDesk pedals() {
        return pedals;
    }

    /** Where what gear reports has to go. */
    public GearDesk gear() {
        return gear;
    }

    /** The loop has got round to what was due at that instant and is no turn of its own; how late that was is written down if it was too late. */
    void cameRound(long due) {
        turns.about(Stalls.Turn.WATCHDOG, "", due);
        turns.beginAside();
        turns.end();
    }

    /** What is run at the end of every turn, after the wire had its bytes; it must be quick and must not begin a turn. */
    void afterEachTurn(Runnable look) {
        turns.afterEach(look);
    }

    /** The instant that is being worked on. */
    public long now() {
        return turns.now();
    }

    /** Lets it be done by who has come in this one's place, or here when the turn is over that is under way; false if it can be done now. */
    private boolean isPutOff(Consumer<Switchboard> task) {
        Switchboard other = heir;
        if (other != null) {
            task.accept(other);
            return true;
        }
        if (turns.isBusy()) {
            turns.clock().later(() -> task.accept(this));
            return true;
        }
        return false;
    }

    /** Timecode from outside has news; its line holds from now on, but that nothing has come in yet. */
    public void timecode(ChaseNews news) {
        if (isPutOff(board -> board.timecode(news))) {
            return;
        }
        long heard = turns.clock().now();
        turns.about(Stalls.Turn.TIMECODE, "", Long.MIN_VALUE);
        long since = turns.beginSettled(heard);
        long record = chronicle.chase(news, heard, since);
        if (news.what() != Chase.News.FOLLOWS) {
            machine.raise("timecode." + news.what().word(), record);
        }
        turns.end();
    }

    /** The journal cannot be written, or can again, as the sentence says. */
    public void journal(boolean isFailing, String sentence) {
        if (isPutOff(board -> board.journal(isFailing, sentence))) {
            return;
        }
        long heard = turns.clock().now();
        turns.about(Stalls.Turn.JOURNAL, "", Long.MIN_VALUE);
        turns.beginSettled(heard);
        long record = chronicle.note(heard, Happening.journalFault(sentence, isFailing));
        machine.raise(isFailing ? "journal.failing" : "journal.back", record);
        turns.end();
    }

    /** Something about timecode from outside is wrong, in a sentence. */
    void timecodeFault(String sentence) {
        chronicle.note(turns.clock().now(), Happening.fault(sentence));
        turns.flushUnlessBusy();
    }
}
