package instep.daemon;

import instep.config.Settings;
import instep.desk.Snapshot;
import instep.input.PedalSettings;
import instep.journal.Happening;
import instep.journal.Key;
import instep.journal.Watch;
import java.util.ArrayDeque;
import java.util.Deque;
import java.util.List;
import java.util.Queue;
import java.util.concurrent.ConcurrentLinkedQueue;
import java.util.function.Consumer;
import java.util.function.LongSupplier;

/**
 * What the desk page shows, and which faults stand, made of the records as the journal gets them: the page is as true as the record, and the loop does nothing for it. A snapshot is handed over
 * whenever the journal has caught up. Journal thread only, but where it says otherwise.
 */
final class DeskWatch implements Watch, Consumer<String> {
    static final int HAPPENINGS = 30;
    static final int MARKS = 6;
    /** So long after records were lost it may be over. */
    static final long LOSS_NANOS = 60_000_000_000L;

    /** Configurations that come into force, on their way from the loop. */
    private final Queue<Settings> coming = new ConcurrentLinkedQueue<>();

    private Settings settings;
    private final boolean isShown;
    private final LongSupplier now;
    private final DeskRack rack;
    private DeskPedals pedals;
    private final DeskTally tally;
    private final DeskTimecode timecode;
    private final DeskFaults faults = new DeskFaults();
    private final Deque<Snapshot.Line> happenings = new ArrayDeque<>();
    private final Deque<Snapshot.Marked> marks = new ArrayDeque<>();

    private volatile Runnable news = () -> {};
    private volatile Runnable faultNews = () -> {};
    private volatile String standing = "";
    private volatile Snapshot latest;
    private final DeskOnAir onAir;
    private Snapshot.Take take = Snapshot.Take.NONE;
    private long lines;
    /** The next line is of the same record as the last one. */
    private boolean isContinued;

    private boolean isBroken;
    /** When records that were lost belong to what is over. */
    private long lossIsOver = Long.MAX_VALUE;

    /**
     * Nothing has been seen yet.
     *
     * @param isShown whether there is a page; if not, no snapshots are made
     * @param now the desk's monotonic time
     */
    DeskWatch(Settings settings, boolean isShown, LongSupplier now) {
        this.settings = settings;
        this.isShown = isShown;
        this.now = now;
        onAir = new DeskOnAir(settings);
        rack = new DeskRack(settings, onAir, faults);
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
            faults.over(DeskFaults.CONFIG);
            rack.config(next);
            settings.pedals().stream()
                    .map(PedalSettings::name)
                    .filter(name ->
                            next.pedals().stream().noneMatch(one -> one.name().equals(name)))
                    .forEach(name -> faults.over(DeskFaults.pedal(name)));
            pedals = new DeskPedals(next, pedals);
            onAir.config(next);
            settings = next;
        }
    }

    /** What is run when there is another snapshot. From any thread. */
    void tell(Runnable whenNew) {
        news = whenNew;
        whenNew.run();
    }

    /** What is run when other faults stand. From any thread. */
    void tellFaults(Runnable whenOthers) {
        faultNews = whenOthers;
    }

    /** The faults that stand, in a line of words: see {@link DeskFaults#standing}. From any thread. */
    String standing() {
        return standing;
    }

    /** The latest snapshot. From any thread. */
    Snapshot latest() {
        return latest;
    }

    /** A line of the event log; several of one record are one happening. */
    @Override
    public void accept(String text) {
        if (!isShown) {
            return;
        }
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
            losses();
            if (isShown) {
                latest = snapshot();
                news.run();
            }
            String stand = faults.standing();
            if (!stand.equals(standing)) {
                standing = stand;
                faultNews.run();
            }
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
                rack.recorders(),
                pedals.pedals(),
                rack.links(),
                List.copyOf(marks),
                List.copyOf(happenings),
                faults.all(),
                tally.tallies(rack.tallies(), pedals.units()));
    }

    private void follow(long mono, long frame, Happening what) {
        tally.count(mono, now.getAsLong(), what);
        String label = timecode.label(frame);
        if (what.number(Key.GAP) > 0) {
            lossIsOver = mono + LOSS_NANOS;
        }
        switch (what.kind()) {
            case START -> timecode.start(mono, frame);
            case SYNC -> timecode.sync(mono, frame, what);
            case EDGE ->
                pedals.edge(what.text(Key.CONTACT), what.text(Key.CLOSED).equals("true"));
            case DEVICE -> device(what, label);
            case LINK -> rack.link(what, label);
            case CUT -> cut(what);
            case CONFIRMED -> rack.confirmed(what);
            case TAKE_OPEN -> takeOpen(mono, what);
            case TAKE_CLOSE -> take(new Snapshot.Take(take.number(), false, take.began(), mono));
            case MARK -> mark(what, label);
            case SENT -> rack.sent(what);
            case MISSED -> rack.missed(what, label);
            case REPLY -> rack.reply(what);
            case FAULT -> {
                rack.fault(what);
                faults.fault(what, label);
            }
            case CONFIG -> config(what);
            case NOTE -> note(what);
            case POSITION, GESTURE, TRANSITION, STANDING, STOP -> {}
        }
    }

    /** No record says that no more are lost. */
    private void losses() {
        if (lossIsOver != Long.MAX_VALUE && now.getAsLong() > lossIsOver) {
            faults.over(DeskFaults.LOST);
            lossIsOver = Long.MAX_VALUE;
        }
    }

    /** It is over a nanosecond after that minute. */
    @Override
    public long patience() {
        return lossIsOver == Long.MAX_VALUE || isBroken
                ? Long.MAX_VALUE
                : Math.max(0, lossIsOver - now.getAsLong()) + 1;
    }

    private void note(Happening what) {
        if (!what.text(Key.CONFIG).isEmpty()) {
            faults.over(DeskFaults.CONFIG);
        }
    }

    private void device(Happening what, String label) {
        String pedal = what.text(Key.PEDAL);
        String state = what.text(Key.STATE);
        pedals.device(pedal, state);
        if (state.equals("up")) {
            faults.over(DeskFaults.pedal(pedal));
        } else {
            String detail = what.text(Key.DETAIL);
            String words = state.equals("denied") ? " cannot be read" : " is not there";
            faults.stands(DeskFaults.pedal(pedal), "pedal " + pedal + words, detail, label);
        }
    }

    private void cut(Happening what) {
        onAir.cut(what.text(Key.ANGLE), what.text(Key.BY));
        faults.over(DeskFaults.unconfirmed(what.text(Key.BY)));
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
        rack.take(next.open());
    }

    private void mark(Happening what, String label) {
        String text = what.text(Key.TEXT);
        marks.addLast(new Snapshot.Marked(label, what.text(Key.MARK) + (text.isEmpty() ? "" : ": " + text)));
        if (marks.size() > MARKS) {
            marks.removeFirst();
        }
    }
}
