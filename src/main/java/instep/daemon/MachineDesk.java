package instep.daemon;

import instep.config.Settings;
import instep.journal.StandingRecord;
import instep.machine.Chart;
import instep.machine.Interpreter;
import instep.machine.Machine;
import instep.machine.Succession;
import instep.machine.Values;
import instep.machine.Whereabouts;
import java.util.List;
import java.util.Optional;
import java.util.concurrent.TimeUnit;
import java.util.function.IntPredicate;
import org.jspecify.annotations.Nullable;

/**
 * The machine: what it is told, within a turn, what comes due in it, and where it stands. A bug in it ends no turn: the clock says what becomes of that. Loop thread only.
 */
final class MachineDesk implements Values {
    private static final long SIGN_NANOS = TimeUnit.SECONDS.toNanos(10);

    private final Settings settings;
    private final Chart chart;
    private final Chronicle chronicle;
    private final Turns turns;
    private final Outcome outcome;
    private final IntPredicate isUp;
    private final Interpreter interpreter;
    private Optional<Whereabouts> lastStanding = Optional.empty();

    /** {@code isUp}: whether gear of that number can be reached. */
    /** When the journal is told again where the machine stands; in a take only. */
    private long signOfLife = Long.MAX_VALUE;

    MachineDesk(Settings settings, Chronicle chronicle, Turns turns, Outcome outcome, IntPredicate isUp) {
        this.settings = settings;
        this.chart = settings.chart();
        this.chronicle = chronicle;
        this.turns = turns;
        this.outcome = outcome;
        this.isUp = isUp;
        interpreter = new Interpreter(chart, this, outcome, outcome);
        turns.add(interpreter::nextDeadline, interpreter::advanceTo);
        turns.add(() -> signOfLife, this::giveSignOfLife);
        turns.atEnd(this::noteNews);
    }

    /** Within a take, so that it can be gone on with in another process. */
    private void noteNews() {
        boolean machineMoved = outcome.hasMoved();
        boolean feetMoved = interpreter.hasMoved();
        if (!interpreter.machine().isRolling()) {
            signOfLife = Long.MAX_VALUE;
        } else if (machineMoved || feetMoved || signOfLife == Long.MAX_VALUE) {
            Whereabouts now = interpreter.standing();
            if (!Optional.of(now).equals(lastStanding)) {
                noteStanding(turns.now(), now);
            }
        }
    }

    /** Also where nothing has moved for a while: if the power fails in a long shot, the journal tells how far the take had come. */
    private void giveSignOfLife(long at) {
        noteStanding(at, interpreter.standing());
    }

    private void noteStanding(long at, Whereabouts now) {
        lastStanding = Optional.of(now);
        chronicle.note(at, StandingRecord.of(now));
        signOfLife = at + SIGN_NANOS;
    }

    /** The machine as it is now. */
    Machine running() {
        return interpreter.machine();
    }

    /** Whether no gesture is half made. */
    boolean isBetweenGestures() {
        return interpreter.isBetweenGestures();
    }

    /** Enters the initial state. */
    void start(long nanos) {
        try {
            interpreter.start(nanos);
        } catch (RuntimeException bug) {
            turns.clock().bug(bug);
        }
    }

    /** Goes on with a take in the state in which an earlier run left it. */
    void resume(Whereabouts standing, long nanos) {
        try {
            interpreter.resume(standing, nanos);
        } catch (RuntimeException bug) {
            turns.clock().bug(bug);
        }
    }

    /** Leaves what another chart does not have, and what pedal units began that do not stay; what another machine has to know, to go on. */
    Succession makeWayFor(Chart next, List<String> gonePedals, long at) {
        return interpreter.makeWayFor(next, gonePedals, at);
    }

    /** Goes on where another stood; by contact: its number there, or negative. */
    void goOnFrom(MachineDesk other, Succession succession, int[] contacts) {
        try {
            interpreter.goOnFrom(other.interpreter, succession, contacts);
        } catch (RuntimeException bug) {
            turns.clock().bug(bug);
        }
    }

    /** A contact closed or opened. */
    void edge(int contact, boolean closed, boolean lost, long nanos) {
        try {
            interpreter.edge(contact, closed, lost, nanos);
        } catch (RuntimeException bug) {
            turns.clock().bug(bug);
        }
    }

    /** A pedal unit is there no more. */
    void pedalLost(String pedal, long at) {
        try {
            interpreter.pedalLost(pedal, at);
        } catch (RuntimeException bug) {
            turns.clock().bug(bug);
        }
    }

    /** What happened to gear or a device, or what it says, as it is in that record. */
    void raise(String name, long record) {
        turns.subject().about(name, record, turns.now());
        try {
            interpreter.event(chart.event(name), turns.now());
        } catch (RuntimeException bug) {
            turns.clock().bug(bug);
        }
    }

    /** Gives a variable that text; false if it cannot be that. */
    boolean assign(String variable, String text) {
        int number = chart.variableNumber(variable);
        try {
            outcome.moved();
            return number >= 0 && interpreter.assign(number, text, turns.now());
        } catch (RuntimeException bug) {
            turns.clock().bug(bug);
            return true;
        }
    }

    /** Somebody else has put that angle on air. */
    void cutByOther(int angle) {
        interpreter.cutByOther(angle, turns.now());
    }

    /** What texts and guards may ask for besides what the machine knows itself. */
    @Override
    public @Nullable Object value(String name) {
        if (name.equals("timecode")) {
            return chronicle.timecodeAt(turns.now()).toString();
        }
        for (int gear = 0; gear < settings.gear().size(); gear++) {
            if (settings.gear().get(gear).name().equals(name)) {
                return isUp.test(gear) ? "up" : "down";
            }
        }
        return null;
    }
}
