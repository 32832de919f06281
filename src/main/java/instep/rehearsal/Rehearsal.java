package instep.rehearsal;

import instep.clock.CountUp;
import instep.config.Settings;
import instep.daemon.Chronicle;
import instep.daemon.Clockwork;
import instep.daemon.Switchboard;
import instep.gear.Crew;
import instep.gear.GearListener;
import instep.gear.Message;
import instep.gear.Wording;
import instep.input.InputListener;
import instep.journal.Happening;
import instep.journal.Key;
import instep.journal.Kind;
import instep.journal.Records;
import instep.machine.Chart;
import instep.machine.Machine;
import instep.machine.Values;
import java.util.BitSet;
import java.util.EnumSet;
import java.util.Set;
import java.util.function.Consumer;
import java.util.function.LongPredicate;
import java.util.function.Predicate;
import java.util.stream.Collectors;
import java.util.stream.IntStream;
import org.jspecify.annotations.Nullable;

/**
 * A machine without gear: the very switchboard of the daemon, but what it says and writes down becomes lines. All gear counts as reachable from the start.
 * On the thread of its clock.
 */
public final class Rehearsal implements Records, Crew {
    /** What comes of a gesture, whichever of it comes first. */
    private static final Set<Line.Kind> FOLLOWS = EnumSet.of(
            Line.Kind.TRANSITION,
            Line.Kind.RETURN,
            Line.Kind.TAKE,
            Line.Kind.CUT,
            Line.Kind.MARK,
            Line.Kind.SEND,
            Line.Kind.SAY);

    private static final String NOTHING = "nothing happens here";

    private final Settings settings;
    private final Consumer<Line> lines;
    private final long origin;
    private final GearListener gear;
    private final Switchboard switchboard;
    /** Links that will come up because it begins. */
    private int opening;

    private boolean isOpening;
    /** It was recognized, and whether anything follows is not known yet. */
    private @Nullable Line gesture;

    private long seq;

    /** Begins now. */
    public Rehearsal(Settings settings, Clockwork clock, Consumer<Line> lines) {
        this.settings = settings;
        this.lines = lines;
        origin = clock.now();
        // There is no wall clock in a rehearsal: its timecode counts from the start.
        CountUp source = new CountUp(settings.timecode().start());
        switchboard = new Switchboard(settings, new Chronicle(this, source, true, origin), clock, listener -> this);
        gear = switchboard.gear();
        switchboard.gear().rollCheckOnly(new BitSet());
    }

    /** Enters the initial state. */
    public void begin() {
        switchboard.start(0, origin, 0);
    }

    /** Enters the initial state, with all pedals there. */
    void beginWithPedals() {
        begin();
        opening += settings.pedals().size();
        for (int i = 0; i < settings.pedals().size(); i++) {
            switchboard.pedals().device(i, InputListener.DeviceState.UP, "", origin);
        }
    }

    public Switchboard switchboard() {
        return switchboard;
    }

    @Override
    public void start() {
        opening = settings.gear().size();
        for (int i = 0; i < settings.gear().size(); i++) {
            gear.link(i, GearListener.LinkState.UP, "in a rehearsal all gear is there");
        }
    }

    @Override
    public void send(Message message, Values values, long ticket) {
        if (settings.messages().contains(message)) {
            tell(switchboard.now(), Line.Kind.SEND, message.name(), "");
        }
        say(message, step -> true, values);
    }

    /** What is on air at the start has just been said. */
    @Override
    public void sendTo(int index, Message message, Values values, long ticket) {
        if (!isOpening) {
            say(message, step -> step.gear() == index, values);
        }
    }

    /** Nobody answers, so that only the pauses of a message take time. */
    private void say(Message message, Predicate<Message.Step> wanted, Values values) {
        long[] pause = new long[settings.gear().size()];
        for (Message.Step step : message.steps()) {
            pause[step.gear()] += step.waitNanos();
            if (wanted.test(step)) {
                say(step, values, pause[step.gear()]);
            }
        }
    }

    private void say(Message.Step step, Values values, long later) {
        String name = settings.gear().get(step.gear()).name();
        String words = Wording.of(settings.gear().get(step.gear()), step.payload(), values);
        tell(switchboard.now() + later, Line.Kind.SAY, name + " " + words, "");
    }

    @Override
    public void takeBack(int gear, LongPredicate tickets) {
        // Nothing waits.
    }

    @Override
    public void withdraw(LongPredicate tickets, String why) {
        // Nothing waits.
    }

    @Override
    public boolean isQuiet() {
        return true;
    }

    @Override
    public void close() {
        // Nothing is open.
    }

    /** The end of a turn: no more follows from the gesture. */
    @Override
    public void flush() {
        tellGesture(false);
    }

    @Override
    public long append(long mono, long frame, Happening what) {
        isOpening &= what.kind() == Kind.LINK || what.kind() == Kind.DEVICE;
        switch (what.kind()) {
            case EDGE -> edge(mono, what);
            case GESTURE -> gesture(mono, what);
            case TRANSITION -> transition(mono, what);
            case CUT -> tell(mono, Line.Kind.CUT, what.text(Key.ANGLE), by(what.text(Key.BY)));
            case CONFIRMED -> tell(mono, Line.Kind.CONFIRMED, what.text(Key.ANGLE), "says " + what.text(Key.GEAR));
            case REPLY -> news(mono, what.text(Key.GEAR), "says " + what.text(Key.TEXT), "");
            case TAKE_OPEN -> tell(mono, Line.Kind.TAKE, what.text(Key.TAKE) + " begins", "");
            case TAKE_CLOSE -> tell(mono, Line.Kind.TAKE, what.text(Key.TAKE) + " ends", "");
            case MARK -> tell(mono, Line.Kind.MARK, what.text(Key.MARK) + " " + what.text(Key.TEXT), "");
            case DEVICE -> device(mono, what);
            case LINK -> link(mono, what);
            case FAULT -> fault(mono, what);
            case START, CONFIG, POSITION, SENT, MISSED, SYNC, NOTE, STANDING, STOP -> {}
        }
        return ++seq;
    }

    /** Whether anything follows from it is known with the next record, or at the end of the turn. */
    private void gesture(long mono, Happening what) {
        tellGesture(false);
        gesture = line(mono, Line.Kind.GESTURE, what.text(Key.EVENT), began(mono, what));
    }

    private void tellGesture(boolean matters) {
        Line told = gesture;
        gesture = null;
        if (told != null) {
            String nothing = matters ? "" : told.remark().isEmpty() ? NOTHING : "; " + NOTHING;
            lines.accept(new Line(told.nanos(), told.kind(), told.words(), told.remark() + nothing));
        }
    }

    private void edge(long mono, Happening what) {
        String does = what.text(Key.CLOSED).equals("true") ? " close" : " open";
        String remark = what.text(Key.LOST).isEmpty() ? "" : "it is not heard any more";
        tell(mono, Line.Kind.EDGE, what.text(Key.CONTACT) + does, remark);
    }

    private static String by(String gear) {
        return gear.isEmpty() ? "" : "by somebody at the " + gear;
    }

    private String began(long mono, Happening what) {
        long began = what.number(Key.BEGAN);
        return began < 0 || began == mono ? "" : "began at " + Line.time(began - origin);
    }

    private void transition(long mono, Happening what) {
        boolean returning = !what.text(Key.RETURNING).isEmpty();
        String from = what.text(Key.FROM);
        String to = what.text(Key.TO);
        String words = returning || from.equals(to) ? from : from + " -> " + to;
        tell(mono, returning ? Line.Kind.RETURN : Line.Kind.TRANSITION, words, "line " + what.text(Key.LINE));
    }

    /** At the start, all links come up; that is not news. */
    private void link(long mono, Happening what) {
        if (!isExpected()) {
            news(mono, what.text(Key.GEAR), what.text(Key.STATE), "");
        }
    }

    private void device(long mono, Happening what) {
        if (!isExpected()) {
            news(mono, what.text(Key.PEDAL), what.text(Key.STATE), what.text(Key.DETAIL));
        }
    }

    private boolean isExpected() {
        isOpening = opening > 0;
        if (isOpening) {
            opening--;
        }
        return isOpening;
    }

    private void fault(long mono, Happening what) {
        if (what.text(Key.GEAR).isEmpty()) {
            tell(mono, Line.Kind.FAULT, what.text(Key.TEXT), "");
        } else if (!what.text(Key.ROLL).isEmpty()) {
            tell(mono, Line.Kind.FAULT, what.text(Key.GEAR) + " " + what.text(Key.ROLL), what.text(Key.TEXT));
        } else {
            news(mono, what.text(Key.GEAR), what.text(Key.SILENT).isEmpty() ? "refused" : "silent", "");
        }
    }

    private void news(long mono, String who, String what, String detail) {
        tell(mono, Line.Kind.NEWS, who + " " + (what.equals("absent") ? "lost" : what), detail);
    }

    private void tell(long nanos, Line.Kind kind, String words, String remark) {
        tellGesture(FOLLOWS.contains(kind));
        lines.accept(line(nanos, kind, words, remark));
    }

    private Line line(long nanos, Line.Kind kind, String words, String remark) {
        return new Line(nanos - origin, kind, words.strip().replaceAll("\\s+", " "), remark);
    }

    /** The innermost states in which the machine is, in words. */
    public String where() {
        Chart chart = settings.chart();
        Machine machine = switchboard.machine();
        return IntStream.range(0, chart.stateCount())
                .filter(state -> machine.isActive(state)
                        && IntStream.range(0, chart.stateCount())
                                .noneMatch(inner -> machine.isActive(inner) && chart.parentOf(inner) == state))
                .mapToObj(state -> chart.state(state).name())
                .collect(Collectors.joining(" and "));
    }
}
