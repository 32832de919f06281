package instep.machine;

import java.util.ArrayList;
import java.util.List;
import org.jspecify.annotations.Nullable;

/**
 * A chart that is played in a test, and a log of what it does: {@code +a} entered, {@code -a} left, {@code cut:wheel}, {@code take:1} opened,
 * {@code /take:1} closed, {@code send:roll}, {@code mark:retake} with its text, {@code fault}; on demand {@code t3}, transition 3 was taken, and
 * {@code ~t3}, its detour ended.
 */
final class Play implements Effects {
    final Chart chart;
    final Interpreter interpreter;
    final Machine machine;
    private final boolean showsTransitions;
    private final List<String> log = new ArrayList<>();
    private long now;

    private Play(Chart chart, boolean showsTransitions) {
        this.chart = chart;
        this.showsTransitions = showsTransitions;
        interpreter = new Interpreter(chart, name -> name.equals("mixer") ? "up" : null, this, (g, began, at) -> {});
        machine = interpreter.machine();
    }

    /** Begun, with the log of that. */
    static Play of(String text) {
        Play play = new Play(ChartText.of(text), false);
        play.interpreter.start(0);
        return play;
    }

    /** Not begun. */
    static Play notBegun(String text) {
        return new Play(ChartText.of(text), false);
    }

    /** Begun, with a log that shows transitions. */
    static Play withTransitions(Chart chart) {
        Play play = new Play(chart, true);
        play.interpreter.start(0);
        return play;
    }

    /** Another chart goes on from where this one stands; the log begins with what this one does for that. */
    Play goesOnAs(String text, String... gonePedals) {
        return goesOnAs(ChartText.of(text), gonePedals);
    }

    private Play goesOnAs(Chart next, String... gonePedals) {
        Play other = new Play(next, showsTransitions);
        other.now = now;
        log.clear();
        List<String> gone = List.of(gonePedals);
        Succession succession = interpreter.makeWayFor(next, gone, now);
        other.log.addAll(log);
        int[] theirs = new int[ChartText.CONTACTS.size()];
        for (int contact = 0; contact < theirs.length; contact++) {
            theirs[contact] = gone.contains(ChartText.CONTACTS.get(contact).pedal()) ? -1 : contact;
        }
        other.interpreter.goOnFrom(interpreter, succession, theirs);
        return other;
    }

    /** Begun in the take that another left open there. */
    static Play resumed(String text, Whereabouts standing) {
        Play play = new Play(ChartText.of(text), false);
        play.interpreter.resume(standing, 0);
        return play;
    }

    /** Another that goes on where this one stood, as somebody has found it, with a log that shows transitions. */
    Play resumed(Whereabouts standing) {
        Play other = new Play(chart, true);
        other.now = now;
        other.interpreter.resume(standing, now);
        return other;
    }

    /** Whatever that is, at its time. */
    Play step(MachineProperties.Step step) {
        now += step.afterNanos();
        int contacts = ChartText.CONTACTS.size();
        int events = RandomChart.EVENTS.size();
        if (step.what() < contacts) {
            interpreter.edge(step.what(), step.closed(), false, now);
        } else if (step.what() < contacts + events) {
            interpreter.event(chart.event(RandomChart.EVENTS.get(step.what() - contacts)), now);
        } else if (step.what() < contacts + events + 2) {
            interpreter.pedalLost(step.what() == contacts + events ? "floor" : "box", now);
        } else {
            interpreter.cutByOther((step.what() - contacts - events) % ChartText.ANGLES.size(), now);
        }
        return this;
    }

    /** What happened since this was asked last. */
    String log() {
        String all = String.join(" ", log);
        log.clear();
        return all;
    }

    /** The innermost active states, in document order. */
    String innermost() {
        return active(true);
    }

    /** The active states but the root, in document order. */
    String active() {
        return active(false);
    }

    private String active(boolean atomic) {
        List<String> names = new ArrayList<>();
        for (int s = 1; s < chart.stateCount(); s++) {
            if (machine.isActive(s) && (!atomic || chart.isAtomic(s))) {
                names.add(chart.state(s).name());
            }
        }
        return String.join(" ", names);
    }

    @Nullable String onAir() {
        return chart.angleName(machine.onAir());
    }

    /** An event that is no gesture, now. */
    Play event(String name) {
        interpreter.event(chart.event(name), now);
        return this;
    }

    /** Somebody else puts that angle on air, now. */
    Play other(String angle) {
        int number = 0;
        while (!angle.equals(chart.angleName(number))) {
            number++;
        }
        interpreter.cutByOther(number, now);
        return this;
    }

    /** Lets the time come. */
    Play at(String time) {
        now = ChartText.nanos(time);
        interpreter.advanceTo(now);
        return this;
    }

    /** A contact closes, a while later so that no bounce is seen in it. */
    Play down(String contact) {
        return edge(contact, true);
    }

    /** A contact opens, a while later so that no bounce is seen in it. */
    Play up(String contact) {
        return edge(contact, false);
    }

    private Play edge(String contact, boolean closed) {
        now += 10_000_000L;
        for (int c = 0; c < ChartText.CONTACTS.size(); c++) {
            if (ChartText.CONTACTS.get(c).name().equals(contact)) {
                interpreter.edge(c, closed, false, now);
            }
        }
        return this;
    }

    /** Down and up, and long enough after for no tap to be waited for. */
    Play tap(String contact) {
        down(contact).up(contact);
        now += 300_000_000L;
        interpreter.advanceTo(now);
        return this;
    }

    /** A whole pedal unit goes. */
    Play lose(String pedal) {
        now += 10_000_000L;
        interpreter.pedalLost(pedal, now);
        return this;
    }

    @Override
    public void taken(int transition, boolean returning, long began, long at) {
        if (showsTransitions) {
            log.add((returning ? "~t" : "t") + transition);
        }
    }

    @Override
    public void entered(int state, long began, long at) {
        if (state > 0) {
            log.add("+" + chart.state(state).name());
        }
    }

    @Override
    public void left(int state, long began, long at) {
        if (state > 0) {
            log.add("-" + chart.state(state).name());
        }
    }

    @Override
    public void takeOpened(long take, long began, long at) {
        log.add("take:" + take);
    }

    @Override
    public void takeClosed(long take, long began, long at) {
        log.add("/take:" + take);
    }

    @Override
    public void cut(int angle, long began, long at) {
        log.add("cut:" + chart.angleName(angle));
    }

    @Override
    public void send(int message, Values values, long began, long at) {
        log.add("send:" + ChartText.MESSAGES.get(message));
    }

    @Override
    public void mark(String kind, @Nullable String text, long began, long at) {
        log.add("mark:" + kind + (text == null ? "" : ":" + text));
    }

    @Override
    public void fault(String text, long at) {
        log.add("fault");
    }
}
