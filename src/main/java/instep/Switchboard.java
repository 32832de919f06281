package instep;

import instep.config.Settings;
import instep.gear.Crew;
import instep.gear.GearListener;
import instep.gear.Listening;
import instep.gear.Message;
import instep.gear.Rack;
import instep.gesture.Contact;
import instep.gesture.Recognizer;
import instep.input.InputListener;
import instep.journal.Happening;
import instep.machine.Chart;
import instep.machine.Effects;
import instep.machine.Interpreter;
import instep.machine.Values;
import java.util.BitSet;
import java.util.List;
import java.util.Locale;
import java.util.function.Function;
import org.jspecify.annotations.Nullable;

/**
 * Where the parts meet, on the loop thread: edges from the devices go through the interpreter, its effects to the gear, and all of it into the
 * chronicle. The wire comes first: what is noted on the way is only put into a queue, and the queue's reader is woken at the end of the turn.
 */
final class Switchboard implements InputListener, GearListener, Effects, Recognizer.Sink, Values, Talkback.Desk {
    private static final String SUPERSEDED = "a later cut took its place";
    private static final long NANOS_PER_MICRO = 1_000;

    private final Settings settings;
    private final Chart chart;
    private final Chronicle chronicle;
    private final Clockwork clock;
    private final Interpreter interpreter;
    private final Crew crew;
    private final Glides glides;
    /** What records say, put together beforehand. */
    private final String[] contactNames;

    private final Happening.Step[] steps;
    private final Happening.Step[] returns;
    private final RecentEdges edges;
    private final Tickets tickets = new Tickets();

    /** What the interpreter is working on: for the records of its effects. */
    private String event = "start";

    private long cause = -1;
    private long ticket;
    private int asked = -1;
    /** The instant that is being worked on; all before it is decided. */
    private long now = Long.MIN_VALUE;

    private long takeOpened = Long.MIN_VALUE;
    private final BitSet gearUp = new BitSet();
    private final BitSet pedalUp = new BitSet();
    private final Chatter chatter;
    private final Talkback talkback;
    /** The interpreter is at work: what the gear says meanwhile has to wait for its own turn. */
    private boolean busy;
    /** What is heard from now on comes too late. */
    private boolean isOver;

    /** With the gear itself. */
    Switchboard(Settings settings, Chronicle chronicle, Loop loop) {
        this(
                settings,
                chronicle,
                loop,
                listener -> new Rack(loop.eventLoop(), settings.gear(), settings.listening(), listener));
    }

    /** With whoever carries out what is said; they may report to the listener that they are given. */
    Switchboard(Settings settings, Chronicle chronicle, Clockwork clock, Function<GearListener, ? extends Crew> crew) {
        this.settings = settings;
        this.chart = settings.chart();
        this.chronicle = chronicle;
        this.clock = clock;
        this.crew = crew.apply(this);
        interpreter = new Interpreter(chart, this, this, this);
        chatter = new Chatter(settings.gear().size());
        edges = new RecentEdges(settings.contacts().size());
        contactNames = settings.contacts().stream().map(Contact::fullName).toArray(String[]::new);
        steps = steps(false);
        returns = steps(true);
        talkback = new Talkback(settings, clock, this);
        glides = new Glides(settings.pedals(), this::position);
        clock.setTimer(this::nextDeadline, this::timeIsUp);
    }

    private Happening.Step[] steps(boolean returning) {
        Happening.Step[] all = new Happening.Step[chart.transitionCount()];
        for (int i = 0; i < all.length; i++) {
            List<String> targets = chart.transition(i).targets();
            String source = chart.state(chart.sourceOf(i)).name();
            String target = targets.isEmpty() ? source : String.join(" ", targets);
            all[i] = new Happening.Step(source, target, returning);
        }
        return all;
    }

    /** Connects the gear and enters the initial state, at the instant of the record that says so; takes are counted on from the last one of the day. */
    void start(long startRecord, long nanos, long lastTake) {
        interpreter.machine().countTakesFrom(lastTake);
        busy = true;
        now = nanos;
        about("start", startRecord);
        crew.start();
        try {
            interpreter.start(nanos);
        } catch (RuntimeException bug) {
            clock.bug(bug);
        }
        endTurn();
    }

    /** Runs all that is due up to and including that instant. */
    void settle(long nanos) {
        beginTurn(nanos);
        endTurn();
    }

    /** Lets the gear go, runs what is due, and writes down why it ends. */
    void stop(String why) {
        isOver = true;
        crew.close();
        long at = beginTurn(clock.now());
        chronicle.note(at, Happening.stop(why));
        endTurn();
    }

    Interpreter interpreter() {
        return interpreter;
    }

    Crew rack() {
        return crew;
    }

    /** Only these recorders are asked whether they roll; the others of the settings do not exist. */
    void rollCheckOnly(BitSet gear) {
        talkback.rollCheckOnly(gear);
    }

    @Override
    public long now() {
        return now;
    }

    @Override
    public void edge(int contact, boolean closed, boolean lost, long nanos) {
        long counts = beginTurn(nanos);
        long record = chronicle.note(
                nanos, Happening.lateEdge(contactNames[contact], closed, lost, counts == nanos ? -1 : counts));
        edges.add(contact, counts, record);
        try {
            interpreter.edge(contact, closed, lost, counts);
        } catch (RuntimeException bug) {
            clock.bug(bug);
        }
        endTurn();
    }

    @Override
    public void moved(int contact, double share, long nanos) {
        busy = true;
        glides.moved(contact, share, nanos);
        endTurn();
    }

    private void position(int contact, int message, String text, long at) {
        long record = chronicle.note(at, Happening.position(contactNames[contact], text));
        issueTicket(record, at);
        Values machine = interpreter.machine();
        crew.send(settings.messages().get(message), name -> name.equals("value") ? text : machine.value(name), record);
    }

    @Override
    public void device(int pedal, DeviceState state, String detail, long nanos) {
        String name = settings.pedals().get(pedal).name();
        long at = beginTurn(nanos - clock.settle());
        long record = chronicle.note(nanos, Happening.device(name, state.name().toLowerCase(Locale.ROOT), detail));
        boolean was = pedalUp.get(pedal);
        pedalUp.set(pedal, state == DeviceState.UP);
        if (state == DeviceState.UP) {
            raise(name + ".up", record);
        } else if (was) {
            about(name + ".lost", record);
            try {
                interpreter.pedalLost(name, at);
            } catch (RuntimeException bug) {
                clock.bug(bug);
            }
        }
        endTurn();
    }

    @Override
    public void gesture(int gesture, long began, long at) {
        int contact = chart.gestures().contact(gesture);
        event = chart.eventName(gesture);
        cause = edges.record(contact, began);
        issueTicket(chronicle.note(at, Happening.gesture(event, began, cause)), at);
    }

    @Override
    public void taken(int transition, boolean returning, long began, long at) {
        Happening.Step step = (returning ? returns : steps)[transition];
        chronicle.note(
                at,
                Happening.transition(
                        step, event, chart.transition(transition).place().line(), cause));
    }

    @Override
    public void entered(int state, long began, long at) {
        // The transitions tell it.
    }

    @Override
    public void left(int state, long began, long at) {
        // The transitions tell it.
    }

    @Override
    public void takeOpened(long take, long began, long at) {
        // Not the beginning of the gesture: no recorder can have rolled before it was told to.
        chronicle.beginTake(at);
        takeOpened = at;
        chronicle.note(at, Happening.takeOpen(take));
        talkback.takeOpened(at);
    }

    @Override
    public void takeClosed(long take, long began, long at) {
        chronicle.note(at, Happening.takeClose(take));
        talkback.takeClosed();
    }

    @Override
    public void cut(int angle, long began, long at) {
        String from = asked < 0 ? null : settings.angles().get(asked).name();
        asked = angle;
        String to = settings.angles().get(angle).name();
        // The hold that rolls began before the take did; its cuts and marks did not.
        crew.withdraw(tickets::isCut, SUPERSEDED);
        issueTicket(chronicle.note(Math.max(began, takeOpened), Happening.cut(to, from, cause, began)), at);
        tickets.markCut(ticket);
        if (settings.angles().get(angle).cut().steps().isEmpty()) {
            talkback.cutWithoutAsking();
        } else {
            talkback.asked(angle, ticket, at);
        }
        crew.send(settings.angles().get(angle).cut(), interpreter.machine(), ticket);
    }

    /** The gear that says so knows; the others are told. */
    @Override
    public void follow(int by, int angle, long record, long at) {
        String from = asked < 0 ? null : settings.angles().get(asked).name();
        asked = angle;
        talkback.cutWithoutAsking();
        crew.withdraw(tickets::isCut, SUPERSEDED);
        String to = settings.angles().get(angle).name();
        long cut = chronicle.note(
                at, Happening.cutBy(to, from, record, settings.gear().get(by).name()));
        interpreter.cutByOther(angle, now);
        for (int gear = 0; gear < settings.gear().size(); gear++) {
            if (gear != by) {
                tickets.markCut(cut);
                crew.sendTo(gear, settings.angles().get(angle).cut(), interpreter.machine(), cut);
            }
        }
    }

    @Override
    public int onAir() {
        return asked;
    }

    @Override
    public long note(long at, Happening what) {
        return chronicle.note(at, what);
    }

    @Override
    public boolean assign(String variable, String text) {
        int number = chart.variableNumber(variable);
        try {
            return number >= 0 && interpreter.assign(number, text, now);
        } catch (RuntimeException bug) {
            clock.bug(bug);
            return true;
        }
    }

    @Override
    public void send(int message, Values values, long began, long at) {
        crew.send(settings.messages().get(message), values, ticket);
    }

    @Override
    public void mark(String kind, @Nullable String text, long began, long at) {
        chronicle.note(Math.max(began, takeOpened), Happening.mark(kind, text, cause));
    }

    @Override
    public void fault(String text, long at) {
        chronicle.note(at, Happening.fault(text));
    }

    @Override
    public void link(int gear, LinkState state, String why) {
        if (busy) {
            clock.later(() -> link(gear, state, why));
            return;
        }
        String name = settings.gear().get(gear).name();
        long heard = clock.now();
        beginTurn(heard - clock.settle());
        long record = chronicle.note(heard, Happening.link(name, state.name().toLowerCase(Locale.ROOT), why));
        boolean was = gearUp.get(gear);
        gearUp.set(gear, state == LinkState.UP);
        if (state == LinkState.UP) {
            resync(gear, record);
            raise(name + ".up", record);
        } else if (was) {
            raise(name + ".lost", record);
            talkback.lost(gear, heard);
        }
        endTurn();
    }

    /** What should be on air now, never what should have been. */
    private void resync(int gear, long record) {
        Listening.Resync resync = settings.listening().get(gear).resync();
        crew.withdraw(tickets::isCut, SUPERSEDED);
        if (resync.angle() && asked >= 0) {
            Message cut = settings.angles().get(asked).cut();
            tickets.markCut(record);
            talkback.askedAgain(gear, asked, now);
            crew.sendTo(gear, cut, interpreter.machine(), record);
        } else if (resync.message() != null) {
            settings.messages().stream()
                    .filter(message -> message.name().equals(resync.message()))
                    .forEach(message -> crew.sendTo(gear, message, interpreter.machine(), record));
        }
    }

    @Override
    public void sent(int gear, long sentTicket, String text, long nanos) {
        long decided = tickets.decidedAt(sentTicket);
        long at = clock.timeOf(nanos);
        long micros = decided == Tickets.FORGOTTEN ? -1 : clock.lasted(at - decided) / NANOS_PER_MICRO;
        chronicle.note(at, Happening.sent(settings.gear().get(gear).name(), text, sentTicket, micros));
        flushUnlessBusy();
    }

    @Override
    public void missed(int gear, long missedTicket, String text, String why) {
        chronicle.note(clock.now(), Happening.missed(settings.gear().get(gear).name(), text, why, missedTicket));
        flushUnlessBusy();
    }

    @Override
    public void reply(int gear, long answered, String text, long nanos) {
        List<Ears.Heard> heard = talkback.look(gear, text);
        if (!heard.isEmpty()) {
            heed(gear, answered, text, nanos, heard);
            return;
        }
        long at = clock.timeOf(nanos);
        String name = settings.gear().get(gear).name();
        chatter.heard(gear, nanos).ifPresent(omitted -> chronicle.note(at, Happening.fault(name + omitted)));
        if (chatter.isWritten(gear)) {
            chronicle.note(at, Happening.reply(name, text, answered));
        }
        talkback.tellTrouble(at);
        flushUnlessBusy();
    }

    @Override
    public void answer(int gear, long answered, String body, long nanos) {
        List<Ears.Heard> heard = talkback.look(gear, body);
        if (!heard.isEmpty() && (answered >= 0 || !talkback.isOld(gear, body))) {
            heed(gear, answered, body, nanos, heard);
        }
    }

    /**
     * A reply that counts waits for its turn behind the devices that are ready, and the timers that are due, at the same time: when the loop has been held
     * up, a mixer's answer to a press must not come before the bounces of that press.
     */
    private void heed(int gear, long answered, String text, long nanos, List<Ears.Heard> heard) {
        clock.later(() -> clock.later(() -> heedNow(gear, answered, text, nanos, heard)));
    }

    /** Like an edge, it is written down first, and then all follows from the record. */
    private void heedNow(int gear, long answered, String text, long nanos, List<Ears.Heard> heard) {
        if (isOver) {
            return;
        }
        String name = settings.gear().get(gear).name();
        long at = clock.timeOf(nanos);
        beginTurn(at - clock.settle());
        long record = chronicle.note(at, Happening.heeded(name, text, answered));
        about(name + ".says", record);
        talkback.heed(gear, heard, record, at);
        endTurn();
    }

    @Override
    public void refused(int gear, long refusedTicket, boolean silent, @Nullable String why) {
        if (busy) {
            clock.later(() -> refused(gear, refusedTicket, silent, why));
            return;
        }
        String name = settings.gear().get(gear).name();
        String text = why == null ? (silent ? "no answer" : "it refused") : why;
        long heard = clock.now();
        beginTurn(heard - clock.settle());
        Happening what =
                silent ? Happening.silent(name, text, refusedTicket) : Happening.refused(name, text, refusedTicket);
        raise(name + (silent ? ".silent" : ".refused"), chronicle.note(heard, what));
        endTurn();
    }

    @Override
    public @Nullable Object value(String name) {
        if (name.equals("timecode")) {
            return chronicle.timecodeAt(now).toString();
        }
        for (int gear = 0; gear < settings.gear().size(); gear++) {
            if (settings.gear().get(gear).name().equals(name)) {
                return gearUp.get(gear) ? "up" : "down";
            }
        }
        return null;
    }

    private void timeIsUp(long due) {
        busy = true;
        runDue(due);
        endTurn();
    }

    /** Begins a turn at that instant, or at the one up to which all is decided if that is later: time does not go back. Returns it. */
    private long beginTurn(long nanos) {
        busy = true;
        runDue(Math.max(nanos, now));
        now = Math.max(nanos, now);
        about("time", -1);
        return now;
    }

    /** One due time after the other, so that what is decided does not depend on how late the timer comes. */
    private void runDue(long until) {
        for (long due = nextDeadline(); due <= until; due = nextDeadline()) {
            if (glides.nextDeadline() <= due) {
                glides.advanceTo(due);
                continue;
            }
            now = Math.max(due, now);
            about("time", -1);
            if (talkback.nextDeadline() < interpreter.nextDeadline()) {
                talkback.advanceTo(due);
            } else {
                advance(due);
            }
        }
    }

    private void advance(long due) {
        try {
            interpreter.advanceTo(due);
        } catch (RuntimeException bug) {
            clock.bug(bug);
        }
    }

    private long nextDeadline() {
        return Math.min(glides.nextDeadline(), Math.min(interpreter.nextDeadline(), talkback.nextDeadline()));
    }

    /** Tells the interpreter what happened to gear or a device. */
    @Override
    public void raise(String name, long record) {
        about(name, record);
        try {
            interpreter.event(chart.event(name), now);
        } catch (RuntimeException bug) {
            clock.bug(bug);
        }
    }

    private void issueTicket(long record, long at) {
        ticket = record;
        tickets.issue(record, at);
    }

    /** What the records of the next effects will name as their event and cause. */
    private void about(String what, long record) {
        event = what;
        cause = record;
        issueTicket(Math.max(0, record), now);
    }

    private void endTurn() {
        busy = false;
        chronicle.flush();
        clock.arm();
    }

    private void flushUnlessBusy() {
        if (!busy) {
            chronicle.flush();
        }
    }
}
