package instep.daemon;

import instep.config.Settings;
import instep.desk.Snapshot;
import instep.gear.GearSettings;
import instep.gear.ReplyPattern;
import instep.input.PedalSettings;
import instep.journal.Happening;
import instep.journal.Key;
import instep.journal.Watch;
import java.util.ArrayDeque;
import java.util.ArrayList;
import java.util.Deque;
import java.util.List;
import java.util.Queue;
import java.util.concurrent.ConcurrentLinkedQueue;
import java.util.function.Consumer;
import java.util.function.LongSupplier;

/**
 * What the desk page shows, made of the records as the journal gets them: the page is as true as the record, and the loop does nothing for it. A snapshot is handed over
 * whenever the journal has caught up. Journal thread only, but where it says otherwise.
 */
final class DeskWatch implements Watch, Consumer<String> {
    static final int HAPPENINGS = 30;
    static final int MARKS = 6;

    /** Configurations that come into force, on their way from the loop. */
    private final Queue<Settings> coming = new ConcurrentLinkedQueue<>();

    private Settings settings;
    private final LongSupplier now;
    private Ears ears;
    private List<DeskGear> gear;
    private DeskPedals pedals;
    private final DeskTally tally;
    private final DeskTimecode timecode;
    private final DeskFaults faults = new DeskFaults();
    private final Deque<Snapshot.Line> happenings = new ArrayDeque<>();
    private final Deque<Snapshot.Marked> marks = new ArrayDeque<>();

    private volatile Runnable news = () -> {};
    private volatile Snapshot latest;
    private final DeskOnAir onAir;
    private Snapshot.Take take = Snapshot.Take.NONE;
    private long lines;
    /** The next line is of the same record as the last one. */
    private boolean isContinued;

    private boolean isBroken;

    /** {@code now}: the desk's monotonic time. */
    DeskWatch(Settings settings, LongSupplier now) {
        this.settings = settings;
        this.now = now;
        ears = new Ears(settings);
        onAir = new DeskOnAir(settings);
        gear = DeskGear.of(settings);
        pedals = new DeskPedals(settings);
        tally = new DeskTally(now.getAsLong());
        timecode = new DeskTimecode(settings.timecode().rate(), now.getAsLong(), faults, tally);
        latest = snapshot();
    }

    /** This configuration takes the place of the one before, from its record on. From any thread. */
    void comes(Settings next) {
        coming.add(next);
    }

    private void config(Happening what) {
        Settings next = what.text(Key.CHANGE).isEmpty() ? null : coming.poll();
        if (next != null) {
            List<GearSettings> before = settings.gear();
            List<DeskGear> known = gear;
            gear = new ArrayList<>(DeskGear.of(next));
            for (int one = 0; one < gear.size(); one++) {
                int old = before.indexOf(next.gear().get(one));
                if (old >= 0 && known.get(old).isRecorder() == gear.get(one).isRecorder()) {
                    gear.set(one, known.get(old));
                }
            }
            before.stream()
                    .map(GearSettings::name)
                    .filter(name ->
                            next.gear().stream().noneMatch(one -> one.name().equals(name)))
                    .forEach(faults::gone);
            next.gear().stream()
                    .filter(one ->
                            !next.listening().get(next.gear().indexOf(one)).tellsOnAir())
                    .forEach(one -> faults.over(DeskFaults.unconfirmed(one.name())));
            settings.pedals().stream()
                    .map(PedalSettings::name)
                    .filter(name ->
                            next.pedals().stream().noneMatch(one -> one.name().equals(name)))
                    .forEach(name -> faults.over("pedal " + name));
            pedals = new DeskPedals(next, pedals);
            ears = new Ears(next);
            onAir.config(next);
            settings = next;
        }
    }

    /** What is run when there is another snapshot. From any thread. */
    void tell(Runnable whenNew) {
        news = whenNew;
        whenNew.run();
    }

    /** The latest snapshot. From any thread. */
    Snapshot latest() {
        return latest;
    }

    /** A line of the event log; several of one record are one happening. */
    @Override
    public void accept(String text) {
        String before = isContinued ? happenings.removeLast().text() + "\n" : "";
        happenings.addLast(new Snapshot.Line(isContinued ? lines : ++lines, before + text));
        isContinued = true;
        if (happenings.size() > HAPPENINGS) {
            happenings.removeFirst();
        }
    }

    @Override
    public void caughtUp() {
        try {
            latest = snapshot();
            news.run();
        } catch (RuntimeException bug) {
            broken(bug, "");
        }
    }

    @Override
    public void saw(long mono, long frame, Happening what) {
        isContinued = false;
        if (isBroken) {
            return;
        }
        try {
            follow(mono, frame, what);
        } catch (RuntimeException bug) {
            broken(bug, timecode.label(frame));
        }
    }

    /** The journal must go on whatever becomes of the page: a bug here ends the page's news, and the page says so. */
    private void broken(RuntimeException bug, String label) {
        isBroken = true;
        String text = "a bug keeps this page from following: what it shows is old; please report this: " + bug;
        faults.stands("page", text, "", label);
    }

    private Snapshot snapshot() {
        return new Snapshot(
                onAir.shown(),
                take,
                timecode.line(),
                timecode.words(),
                gear.stream()
                        .filter(DeskGear::isRecorder)
                        .map(DeskGear::recorder)
                        .toList(),
                pedals.pedals(),
                gear.stream().map(DeskGear::link).toList(),
                List.copyOf(marks),
                List.copyOf(happenings),
                faults.all(),
                tally.tallies(gear, pedals.units()));
    }

    private void follow(long mono, long frame, Happening what) {
        tally.count(mono, now.getAsLong(), what);
        String label = timecode.label(frame);
        switch (what.kind()) {
            case START -> timecode.start(mono, frame);
            case SYNC -> timecode.sync(mono, frame, what);
            case EDGE ->
                pedals.edge(what.text(Key.CONTACT), what.text(Key.CLOSED).equals("true"));
            case DEVICE -> device(what, label);
            case LINK -> link(what, label);
            case CUT -> cut(what);
            case CONFIRMED -> confirmed(what);
            case TAKE_OPEN -> takeOpen(mono, what);
            case TAKE_CLOSE -> take(new Snapshot.Take(take.number(), false, take.began(), mono));
            case MARK -> mark(what, label);
            case SENT -> of(what).forEach(one -> one.sent(what.number(Key.LATENCY_US)));
            case MISSED -> missed(what, label);
            case REPLY -> reply(what);
            case FAULT -> fault(what, label);
            case CONFIG -> config(what);
            case NOTE -> note(what);
            case POSITION, GESTURE, TRANSITION, STANDING, STOP -> {}
        }
    }

    private void note(Happening what) {
        if (!what.text(Key.CONFIG).isEmpty()) {
            faults.over(DeskFaults.CONFIG);
        }
    }

    private List<DeskGear> of(Happening what) {
        String name = what.text(Key.GEAR);
        return gear.stream().filter(one -> one.name().equals(name)).toList();
    }

    private void device(Happening what, String label) {
        String pedal = what.text(Key.PEDAL);
        String state = what.text(Key.STATE);
        pedals.device(pedal, state);
        if (state.equals("up")) {
            faults.over("pedal " + pedal);
        } else {
            String detail = what.text(Key.DETAIL);
            String words = state.equals("denied") ? " cannot be read" : " is not there";
            faults.stands("pedal " + pedal, "pedal " + pedal + words, detail, label);
        }
    }

    private void link(Happening what, String label) {
        String name = what.text(Key.GEAR);
        boolean up = what.text(Key.STATE).equals("up");
        of(what).forEach(one -> one.link(up, what.text(Key.WHY)));
        if (up) {
            faults.over(DeskFaults.link(name));
        } else {
            faults.stands(DeskFaults.link(name), name + " cannot be reached", what.text(Key.WHY), label);
            onAir.lost(name);
        }
    }

    private void cut(Happening what) {
        onAir.cut(what.text(Key.ANGLE), what.text(Key.BY));
        faults.over(DeskFaults.unconfirmed(what.text(Key.BY)));
    }

    private void confirmed(Happening what) {
        String name = what.text(Key.GEAR);
        of(what).forEach(one -> one.confirmed(what.number(Key.LATENCY_US)));
        onAir.said(name, what.text(Key.ANGLE));
        faults.over(DeskFaults.unconfirmed(name));
    }

    /** One that goes on began in an earlier run. */
    private void takeOpen(long mono, Happening what) {
        long began = mono - timecode.nanos(Math.max(0, what.number(Key.LASTED)));
        take(new Snapshot.Take(what.number(Key.TAKE), true, began, mono));
    }

    private void take(Snapshot.Take next) {
        if (next.open()) {
            marks.clear();
        }
        take = next;
        gear.forEach(one -> {
            one.take(next.open());
            faults.over(DeskFaults.roll(one.name()));
        });
    }

    private void mark(Happening what, String label) {
        String text = what.text(Key.TEXT);
        marks.addLast(new Snapshot.Marked(label, what.text(Key.MARK) + (text.isEmpty() ? "" : ": " + text)));
        if (marks.size() > MARKS) {
            marks.removeFirst();
        }
    }

    private void missed(Happening what, String label) {
        of(what).forEach(DeskGear::missed);
        String name = what.text(Key.GEAR);
        String why = what.text(Key.WHY);
        if (!why.equals(Outcome.SUPERSEDED) && !why.equals(Outcome.TOLD_ANEW)) {
            faults.happened("missed " + name, name + " was not told " + what.text(Key.WHAT), why, label);
        }
    }

    private void reply(Happening what) {
        String name = what.text(Key.GEAR);
        faults.over(DeskFaults.silent(name));
        if (what.text(Key.HEEDED).isEmpty()) {
            return;
        }
        for (int one = 0; one < gear.size(); one++) {
            if (gear.get(one).name().equals(name)) {
                heed(one, what.text(Key.TEXT));
            }
        }
    }

    private void heed(int one, String text) {
        for (Ears.Heard heard : ears.look(one, text)) {
            Boolean rolling = heard.pattern().rolling();
            if (rolling != null) {
                gear.get(one).rolls(rolling);
                if (rolling) {
                    faults.over(DeskFaults.roll(gear.get(one).name()));
                }
            }
            ReplyPattern.AngleName said = heard.pattern().onAir();
            if (said != null && onAir.said(gear.get(one).name(), said.angle(heard.values()))) {
                faults.over(DeskFaults.unconfirmed(gear.get(one).name()));
            }
        }
    }

    private void fault(Happening what, String label) {
        String roll = what.text(Key.ROLL);
        if (!roll.isEmpty()) {
            of(what).forEach(one -> one.rollFault(roll.equals("silent")));
        }
        faults.fault(what, label);
    }
}
