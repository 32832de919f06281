package instep.daemon;

import instep.clock.Chase;
import instep.config.Settings;
import instep.gear.Crew;
import instep.gear.GearListener;
import instep.gear.Rack;
import instep.gesture.Contact;
import instep.input.InputListener;
import instep.journal.Happening;
import instep.machine.Interpreter;
import instep.machine.Values;
import java.util.BitSet;
import java.util.Locale;
import java.util.function.Function;

/**
 * Where the parts meet, on the loop thread: edges from the devices go through the interpreter, its effects to the gear, and all of it into the
 * chronicle. The wire comes first: what is noted on the way is only put into a queue, and the queue's reader is woken at the end of the turn.
 */
public final class Switchboard implements InputListener {
    private final Settings settings;
    private final Chronicle chronicle;
    private final Subject subject;
    private final Turns turns;
    private final GearDesk gear;
    private final Interpreter interpreter;
    private final Glides glides;
    /** What records say, put together beforehand. */
    private final String[] contactNames;

    private final BitSet pedalUp = new BitSet();

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
        this.settings = settings;
        this.chronicle = chronicle;
        subject = new Subject(settings.contacts().size());
        turns = new Turns(clock, chronicle, subject);
        glides = new Glides(settings.pedals(), this::position);
        turns.add(glides::nextDeadline, glides::advanceTo);
        gear = new GearDesk(settings, chronicle, turns, crew);
        interpreter = gear.interpreter();
        contactNames = settings.contacts().stream().map(Contact::fullName).toArray(String[]::new);
    }

    /** Connects the gear and enters the initial state, at the instant of the record that says so; takes are counted on from the last one of the day. */
    public void start(long startRecord, long nanos, long lastTake) {
        interpreter.machine().countTakesFrom(lastTake);
        turns.first("start", startRecord, nanos);
        gear.crew().start();
        try {
            interpreter.start(nanos);
        } catch (RuntimeException bug) {
            turns.clock().bug(bug);
        }
        turns.end();
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
        chronicle.note(at, Happening.stop(why));
        turns.end();
    }

    /** Where what gear reports has to go. */
    public GearDesk gear() {
        return gear;
    }

    /** What is run at the end of every turn, after the wire had its bytes; it must be quick and must not begin a turn. */
    void afterEachTurn(Runnable look) {
        turns.afterEach(look);
    }

    /** Whether that pedal unit is read. */
    boolean isPedalUp(int pedal) {
        return pedalUp.get(pedal);
    }

    int countPedalsUp() {
        return pedalUp.cardinality();
    }

    /** The instant that is being worked on. */
    public long now() {
        return turns.now();
    }

    @Override
    public void edge(int contact, boolean closed, boolean lost, long nanos) {
        long counts = turns.begin(nanos);
        long record = chronicle.note(
                nanos, Happening.lateEdge(contactNames[contact], closed, lost, counts == nanos ? -1 : counts));
        subject.edge(contact, counts, record);
        try {
            interpreter.edge(contact, closed, lost, counts);
        } catch (RuntimeException bug) {
            turns.clock().bug(bug);
        }
        turns.end();
    }

    @Override
    public void moved(int contact, double share, long nanos) {
        turns.beginAside();
        glides.moved(contact, share, nanos);
        turns.end();
    }

    @Override
    public void oddity(int pedal, String sentence, long nanos) {
        turns.beginAside();
        chronicle.note(nanos, Happening.fault(sentence));
        turns.end();
    }

    private void position(int contact, int message, String text, long at) {
        long record = chronicle.note(at, Happening.position(contactNames[contact], text));
        subject.issue(record, at);
        Values machine = interpreter.machine();
        gear.crew()
                .send(
                        settings.messages().get(message),
                        name -> name.equals("value") ? text : machine.value(name),
                        record);
    }

    /** Timecode from outside has news; its line holds from now on, but that nothing has come in yet. */
    public void timecode(ChaseNews news) {
        if (turns.isBusy()) {
            turns.clock().later(() -> timecode(news));
            return;
        }
        long heard = turns.clock().now();
        long since = turns.beginSettled(heard);
        long record = chronicle.chase(news, heard, since);
        if (news.what() != Chase.News.FOLLOWS) {
            gear.raise("timecode." + news.what().word(), record);
        }
        turns.end();
    }

    /** Something about timecode from outside is wrong, in a sentence. */
    void timecodeFault(String sentence) {
        chronicle.note(turns.clock().now(), Happening.fault(sentence));
        turns.flushUnlessBusy();
    }

    @Override
    public void device(int pedal, DeviceState state, String detail, long nanos) {
        String name = settings.pedals().get(pedal).name();
        // Not before what was decided meanwhile, so that it is found again in this order.
        long decided = turns.timedBeyond(nanos - turns.clock().settle());
        long noticed = decided < 0 ? nanos : decided + turns.clock().settle();
        long at = turns.beginSettled(noticed);
        long record =
                chronicle.note(noticed, Happening.device(name, state.name().toLowerCase(Locale.ROOT), detail));
        boolean was = pedalUp.get(pedal);
        pedalUp.set(pedal, state == DeviceState.UP);
        if (state == DeviceState.UP) {
            gear.raise(name + ".up", record);
        } else if (was) {
            subject.about(name + ".lost", record, at);
            try {
                interpreter.pedalLost(name, at);
            } catch (RuntimeException bug) {
                turns.clock().bug(bug);
            }
        }
        turns.end();
    }
}
