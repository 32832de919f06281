package instep;

import instep.config.Settings;
import instep.gear.GearListener;
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
import org.jspecify.annotations.Nullable;

/**
 * Where the parts meet, on the loop thread: edges from the devices go through the interpreter, its effects to the gear, and all of it into the
 * chronicle. The wire comes first: what is noted on the way is only put into a queue, and the queue's reader is woken at the end of the turn.
 */
final class Switchboard implements InputListener, GearListener, Effects, Recognizer.Sink, Values {
    private static final String SUPERSEDED = "a later cut took its place";
    private static final int TICKETS = 256;
    private static final int EDGES = 64;
    private static final long NANOS_PER_MICRO = 1_000;

    private final Settings settings;
    private final Chart chart;
    private final Chronicle chronicle;
    private final Loop loop;
    private final Interpreter interpreter;
    private final Rack rack;
    private final Glides glides;

    /** What records say, put together beforehand. */
    private final String[] contactNames;

    private final Happening.Step[] steps;
    private final Happening.Step[] returns;

    /** By contact: its latest edges and the records of them, to name the edge that a gesture began with. */
    private final long[][] edgeTimes;

    private final long[][] edgeRecords;
    private final int[] edges;
    /** The latest tickets, by their last digits, and when what they stand for was decided. */
    private final long[] tickets = new long[TICKETS];

    private final long[] decidedAt = new long[TICKETS];
    /** Those of them that are cuts. */
    private final long[] cuts = new long[TICKETS];

    /** What the interpreter is working on: for the records of its effects. */
    private String event = "start";

    private long cause = -1;
    private long ticket;
    private int asked = -1;
    private long now;
    private long takeOpened = Long.MIN_VALUE;
    private final BitSet gearUp = new BitSet();
    private final BitSet pedalUp = new BitSet();
    private final Chatter chatter;
    /** The interpreter is at work: what the gear says meanwhile has to wait for its own turn. */
    private boolean busy;

    Switchboard(Settings settings, Chronicle chronicle, Loop loop) {
        this.settings = settings;
        this.chart = settings.chart();
        this.chronicle = chronicle;
        this.loop = loop;
        interpreter = new Interpreter(chart, this, this, this);
        rack = new Rack(loop.eventLoop(), settings.gear(), this);
        chatter = new Chatter(settings.gear().size());
        int contacts = settings.contacts().size();
        edgeTimes = new long[contacts][EDGES];
        edgeRecords = new long[contacts][EDGES];
        edges = new int[contacts];
        contactNames = settings.contacts().stream().map(Contact::fullName).toArray(String[]::new);
        steps = steps(false);
        returns = steps(true);
        glides = new Glides(settings.pedals(), this::position);
        loop.setTimer(this::nextDeadline, this::timeIsUp);
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

    /** Connects the gear and enters the initial state; takes are counted on from the last one of the day. */
    void start(long startRecord, long lastTake) {
        interpreter.machine().countTakesFrom(lastTake);
        ticket = startRecord;
        now = loop.now();
        rack.start();
        beginTurn("start", startRecord);
        interpreter.start(now);
        endTurn();
    }

    Interpreter interpreter() {
        return interpreter;
    }

    Rack rack() {
        return rack;
    }

    @Override
    public void edge(int contact, boolean closed, boolean lost, long nanos) {
        now = nanos;
        long record = chronicle.note(nanos, Happening.edge(contactNames[contact], closed, lost));
        int place = edges[contact]++ % EDGES;
        edgeTimes[contact][place] = nanos;
        edgeRecords[contact][place] = record;
        beginTurn("time", -1);
        try {
            interpreter.edge(contact, closed, lost, nanos);
        } catch (RuntimeException bug) {
            Loop.crash(bug);
        }
        endTurn();
    }

    @Override
    public void moved(int contact, double share, long nanos) {
        glides.moved(contact, share, nanos);
        endTurn();
    }

    private void position(int contact, int message, String text, long at) {
        long record = chronicle.note(at, Happening.position(contactNames[contact], text));
        issueTicket(record, at);
        Values machine = interpreter.machine();
        rack.send(settings.messages().get(message), name -> name.equals("value") ? text : machine.value(name), record);
    }

    private long nextDeadline() {
        return Math.min(interpreter.nextDeadline(), glides.nextDeadline());
    }

    @Override
    public void device(int pedal, DeviceState state, String detail, long nanos) {
        String name = settings.pedals().get(pedal).name();
        now = nanos;
        long record = chronicle.note(nanos, Happening.device(name, state.name().toLowerCase(Locale.ROOT), detail));
        boolean was = pedalUp.get(pedal);
        pedalUp.set(pedal, state == DeviceState.UP);
        if (state == DeviceState.UP) {
            raise(name + ".up", record);
        } else if (was) {
            beginTurn(name + ".lost", record);
            interpreter.pedalLost(name, nanos);
            endTurn();
        }
        flushUnlessBusy();
    }

    @Override
    public void gesture(int gesture, long began, long at) {
        int contact = chart.gestures().contact(gesture);
        event = chart.eventName(gesture);
        cause = edgeRecord(contact, began);
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
    }

    @Override
    public void takeClosed(long take, long began, long at) {
        chronicle.note(at, Happening.takeClose(take));
    }

    @Override
    public void cut(int angle, long began, long at) {
        String from = asked < 0 ? null : settings.angles().get(asked).name();
        asked = angle;
        String to = settings.angles().get(angle).name();
        // The hold that rolls began before the take did; its cut did not.
        rack.withdraw(this::isOlderCut, SUPERSEDED);
        issueTicket(chronicle.note(Math.max(began, takeOpened), Happening.cut(to, from, cause, began)), at);
        cuts[(int) (ticket % TICKETS)] = ticket;
        rack.send(settings.angles().get(angle).cut(), interpreter.machine(), ticket);
    }

    @Override
    public void send(int message, Values values, long began, long at) {
        rack.send(settings.messages().get(message), values, ticket);
    }

    @Override
    public void mark(String kind, @Nullable String text, long began, long at) {
        chronicle.note(began, Happening.mark(kind, text, cause));
    }

    @Override
    public void fault(String text, long at) {
        chronicle.note(at, Happening.fault(text));
    }

    @Override
    public void link(int gear, LinkState state, String why) {
        String name = settings.gear().get(gear).name();
        now = loop.now();
        long record = chronicle.note(now, Happening.link(name, state.name().toLowerCase(Locale.ROOT), why));
        if (state == LinkState.UP && asked >= 0) {
            // What should be on air now, never what should have been.
            rack.withdraw(this::isOlderCut, SUPERSEDED);
            cuts[(int) (record % TICKETS)] = record;
            rack.sendTo(gear, settings.angles().get(asked).cut(), interpreter.machine(), record);
        }
        boolean was = gearUp.get(gear);
        gearUp.set(gear, state == LinkState.UP);
        if (state == LinkState.UP) {
            raise(name + ".up", record);
        } else if (was) {
            raise(name + ".lost", record);
        }
        flushUnlessBusy();
    }

    @Override
    public void sent(int gear, long sentTicket, String text, long nanos) {
        int place = (int) (sentTicket % TICKETS);
        long at = loop.timeOf(nanos);
        long micros = tickets[place] == sentTicket ? loop.lasted(at - decidedAt[place]) / NANOS_PER_MICRO : -1;
        chronicle.note(at, Happening.sent(settings.gear().get(gear).name(), text, sentTicket, micros));
        flushUnlessBusy();
    }

    @Override
    public void missed(int gear, long missedTicket, String text, String why) {
        chronicle.note(loop.now(), Happening.missed(settings.gear().get(gear).name(), text, why, missedTicket));
        flushUnlessBusy();
    }

    @Override
    public void reply(int gear, long answered, String text, long nanos) {
        long at = loop.timeOf(nanos);
        String name = settings.gear().get(gear).name();
        chatter.heard(gear, nanos).ifPresent(omitted -> chronicle.note(at, Happening.fault(name + omitted)));
        if (chatter.isWritten(gear)) {
            chronicle.note(at, Happening.reply(name, text, answered));
        }
        flushUnlessBusy();
    }

    @Override
    public void refused(int gear, long refusedTicket, boolean silent, @Nullable String why) {
        String name = settings.gear().get(gear).name();
        now = loop.now();
        String text = why == null ? (silent ? "no answer" : "it refused") : why;
        long record = chronicle.note(now, Happening.refused(name, text, refusedTicket));
        raise(name + (silent ? ".silent" : ".refused"), record);
    }

    @Override
    public @Nullable Object value(String name) {
        if (name.equals("timecode")) {
            return chronicle.timecodeAt(now).toString();
        }
        for (int gear = 0; gear < settings.gear().size(); gear++) {
            if (settings.gear().get(gear).name().equals(name)) {
                return rack.isUp(gear) ? "up" : "down";
            }
        }
        return null;
    }

    private boolean isOlderCut(long waiting) {
        return cuts[(int) (waiting % TICKETS)] == waiting;
    }

    private void timeIsUp(long due) {
        now = loop.now();
        beginTurn("time", -1);
        glides.advanceTo(due);
        try {
            if (interpreter.nextDeadline() <= due) {
                interpreter.advanceTo(due);
            }
        } catch (RuntimeException bug) {
            Loop.crash(bug);
        }
        endTurn();
    }

    /** Tells the interpreter what happened to gear or a device: now, or after the step that is under way. */
    private void raise(String name, long record) {
        if (busy) {
            loop.eventLoop().execute(() -> raise(name, record));
            return;
        }
        beginTurn(name, record);
        // A little back, so that an edge which was made before it but is read after it keeps its own time.
        try {
            interpreter.event(chart.event(name), now - Loop.SETTLE_NANOS);
        } catch (RuntimeException bug) {
            Loop.crash(bug);
        }
        endTurn();
    }

    /** The record of the contact's edge at that time; the latest where that one is long past. */
    private long edgeRecord(int contact, long time) {
        int latest = edges[contact] - 1;
        for (int i = latest; i >= 0 && i > latest - EDGES; i--) {
            if (edgeTimes[contact][i % EDGES] == time) {
                return edgeRecords[contact][i % EDGES];
            }
        }
        return latest < 0 ? -1 : edgeRecords[contact][latest % EDGES];
    }

    private void issueTicket(long record, long at) {
        ticket = record;
        tickets[(int) (record % TICKETS)] = record;
        decidedAt[(int) (record % TICKETS)] = at;
    }

    private void beginTurn(String what, long record) {
        busy = true;
        event = what;
        cause = record;
        issueTicket(Math.max(0, record), now);
    }

    private void endTurn() {
        busy = false;
        chronicle.flush();
        loop.arm();
    }

    private void flushUnlessBusy() {
        if (!busy) {
            chronicle.flush();
        }
    }
}
