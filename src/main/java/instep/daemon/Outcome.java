package instep.daemon;

import instep.config.Settings;
import instep.gear.Crew;
import instep.gesture.Recognizer;
import instep.journal.Happening;
import instep.machine.Chart;
import instep.machine.Effects;
import instep.machine.Values;
import java.util.ArrayList;
import java.util.List;
import java.util.function.LongPredicate;
import org.jspecify.annotations.Nullable;

/** What becomes of the machine's decisions: each is said to the gear and noted in the chronicle. Loop thread only. */
final class Outcome implements Effects, Recognizer.Sink {
    /** Why cuts were not sent in whose place something newer was. */
    static final String SUPERSEDED = "a later cut took its place";

    private final Settings settings;
    private final Chart chart;
    private final Chronicle chronicle;
    private final Subject subject;
    private final Crew crew;
    private final Talkback talkback;
    private final Values machine;

    /** What records say, put together beforehand. */
    private final Happening.Step[] steps;

    private final Happening.Step[] returns;
    private final LongPredicate isCut;
    private int onAir = -1;
    private long takeOpened = Long.MIN_VALUE;
    /** Where the machine stands may have changed since that was asked. */
    private boolean hasMoved;

    private final List<Runnable> afterTake = new ArrayList<>();

    /** Messages take their values from the machine. */
    Outcome(Settings settings, Chronicle chronicle, Subject subject, Crew crew, Talkback talkback, Values machine) {
        this.settings = settings;
        this.chart = settings.chart();
        this.chronicle = chronicle;
        this.subject = subject;
        this.crew = crew;
        this.talkback = talkback;
        this.machine = machine;
        steps = steps(false);
        returns = steps(true);
        isCut = subject.tickets()::isCut;
    }

    /** Goes on where another was. */
    void goOnFrom(Outcome other) {
        String name = other.angleOnAir();
        onAir = name == null ? -1 : settings.angle(name);
        takeOpened = other.takeOpened;
        hasMoved = true;
    }

    /** What is done, once, when the next take has ended; called within the turn. */
    void afterTake(Runnable task) {
        afterTake.add(task);
    }

    /** Whether something was decided since that was asked last. */
    boolean hasMoved() {
        boolean moved = hasMoved;
        hasMoved = false;
        return moved;
    }

    /** Where the machine stands has changed without a decision. */
    void moved() {
        hasMoved = true;
    }

    /** Whether that gear is told of the angle on air in other words than those of the other settings, under whose number it was. */
    boolean isToldOtherwise(int gear, Settings before, int theirs) {
        String name = angleOnAir();
        int old = name == null ? -1 : before.angle(name);
        return old >= 0
                && !settings.angles()
                        .get(onAir)
                        .cut()
                        .payloads(gear)
                        .equals(before.angles().get(old).cut().payloads(theirs));
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

    /** The angle that should be on air; -1: none yet. */
    int onAir() {
        return onAir;
    }

    @Override
    public void gesture(int gesture, long began, long at) {
        String event = chart.eventName(gesture);
        subject.gesture(event, chart.gestures().contact(gesture), began);
        subject.issue(chronicle.note(at, Happening.gesture(event, began, subject.cause())), at);
    }

    @Override
    public void taken(int transition, boolean returning, long began, long at) {
        hasMoved = true;
        Happening.Step step = (returning ? returns : steps)[transition];
        int line = chart.transition(transition).place().line();
        chronicle.note(at, Happening.transition(step, subject.event(), line, subject.cause()));
    }

    @Override
    public void entered(int state, long began, long at) {
        hasMoved = true; // the transitions tell it
    }

    @Override
    public void left(int state, long began, long at) {
        hasMoved = true; // the transitions tell it
    }

    @Override
    public void takeOpened(long take, long began, long at) {
        // Not the beginning of the gesture: no recorder can have rolled before it was told to.
        takeOpened = at;
        chronicle.beginTake(take, at);
        talkback.takeOpened(at);
    }

    @Override
    public void takeResumed(long take, long began, long at) {
        takeOpened = at;
        chronicle.resumeTake(take, began, at);
        talkback.takeResumed();
    }

    @Override
    public void takeClosed(long take, long began, long at) {
        chronicle.note(at, Happening.takeClose(take));
        talkback.takeClosed();
        List<Runnable> tasks = List.copyOf(afterTake);
        afterTake.clear();
        tasks.forEach(Runnable::run);
    }

    @Override
    public void cut(int angle, long began, long at) {
        String from = angleOnAir();
        String to = settings.angles().get(angle).name();
        onAir = angle;
        hasMoved = true;
        crew.withdraw(isCut, SUPERSEDED);
        // The hold that rolls began before the take did; its cuts and marks did not.
        long cut = chronicle.note(Math.max(began, takeOpened), Happening.cut(to, from, subject.cause(), began));
        subject.issue(cut, at);
        subject.tickets().markCut(cut);
        if (settings.angles().get(angle).cut().steps().isEmpty()) {
            talkback.cutWithoutAsking();
        } else {
            talkback.asked(angle, cut, at);
        }
        crew.send(settings.angles().get(angle).cut(), machine, cut);
    }

    /** Somebody at that gear has cut, as it said in that record. It knows; the other gear is told, after the machine has followed. */
    void cutBy(int gear, int angle, long record, long at, Runnable machineFollows) {
        String from = angleOnAir();
        String to = settings.angles().get(angle).name();
        onAir = angle;
        hasMoved = true;
        crew.withdraw(isCut, SUPERSEDED);
        String by = settings.gear().get(gear).name();
        long cut = chronicle.note(at, Happening.cutBy(to, from, record, by));
        talkback.cutByOther(gear, angle, cut);
        machineFollows.run();
        subject.tickets().markCut(cut);
        for (int other = 0; other < settings.gear().size(); other++) {
            if (other != gear) {
                crew.sendTo(other, settings.angles().get(angle).cut(), machine, cut);
            }
        }
    }

    /** That gear can be reached again, as it says in that record: it is told what should be on air now, never what should have been. */
    void cutAgain(int gear, long record, long now) {
        crew.takeBack(gear, isCut);
        if (onAir >= 0) {
            subject.tickets().markCut(record);
            talkback.askedAgain(gear, onAir, record, now);
            crew.sendTo(gear, settings.angles().get(onAir).cut(), machine, record);
        }
    }

    private @Nullable String angleOnAir() {
        return onAir < 0 ? null : settings.angles().get(onAir).name();
    }

    @Override
    public void send(int message, Values values, long began, long at) {
        crew.send(settings.messages().get(message), values, subject.ticket());
    }

    @Override
    public void mark(String kind, @Nullable String text, long began, long at) {
        chronicle.note(Math.max(began, takeOpened), Happening.mark(kind, text, subject.cause()));
    }

    @Override
    public void fault(String text, long at) {
        chronicle.note(at, Happening.fault(text));
    }
}
