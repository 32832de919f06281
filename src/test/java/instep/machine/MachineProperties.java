package instep.machine;

import static org.assertj.core.api.Assertions.assertThat;

import instep.gesture.Recognizer;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.BitSet;
import java.util.List;
import net.jqwik.api.Arbitraries;
import net.jqwik.api.Arbitrary;
import net.jqwik.api.Combinators;
import net.jqwik.api.ForAll;
import net.jqwik.api.Property;
import net.jqwik.api.Provide;
import org.jspecify.annotations.Nullable;

/** What holds of any chart, whatever feet and gear do. */
class MachineProperties {
    private static final long MILLIS = 1_000_000L;

    /** Something that happens so long after what happened before. */
    record Step(int what, boolean closed, long afterNanos) {}

    @Provide
    Arbitrary<List<Step>> steps() {
        return anySteps();
    }

    /** What feet and gear may do, and pedal units that vanish. */
    static Arbitrary<List<Step>> anySteps() {
        int happenings = ChartText.CONTACTS.size() + RandomChart.EVENTS.size() + 2;
        Arbitrary<Long> after =
                Arbitraries.of(-5 * MILLIS, 0L, 5 * MILLIS, 20 * MILLIS, 100 * MILLIS, 300 * MILLIS, 700 * MILLIS);
        return Combinators.combine(
                        Arbitraries.integers().between(0, happenings - 1), Arbitraries.of(true, false), after)
                .as(Step::new)
                .list()
                .ofMaxSize(60);
    }

    /** A random chart that is played, with all that it says kept. */
    static final class Theatre {
        final String text;
        final Chart chart;
        final Interpreter interpreter;
        final Machine machine;
        final Told told;
        long now;

        Theatre(long seed) {
            this(RandomChart.withDetours(seed));
        }

        Theatre(String text) {
            this.text = text;
            chart = ChartText.of(text);
            told = new Told(chart);
            interpreter = new Interpreter(chart, name -> null, told, (gesture, began, at) -> told.checkTime(began, at));
            machine = interpreter.machine();
            interpreter.start(0);
        }

        void play(Step step) {
            now += step.afterNanos;
            int contacts = ChartText.CONTACTS.size();
            int events = RandomChart.EVENTS.size();
            if (step.what < contacts) {
                interpreter.edge(step.what, step.closed, false, now);
            } else if (step.what < contacts + events) {
                interpreter.event(chart.event(RandomChart.EVENTS.get(step.what - contacts)), now);
            } else {
                interpreter.pedalLost(step.what == contacts + events ? "floor" : "box", now);
            }
        }
    }

    /** W3C SCXML 1.0, 3.11. */
    @Property(tries = 150)
    void isAlwaysInALegalConfiguration(@ForAll long seed, @ForAll("steps") List<Step> steps) {
        Theatre theatre = new Theatre(seed);
        checkLegal(theatre);
        for (Step step : steps) {
            theatre.play(step);
            checkLegal(theatre);
        }
    }

    static void checkLegal(Theatre theatre) {
        if (theatre.machine.isRunning()) {
            assertThat(theatre.machine.isActive(0)).isTrue();
            assertThat(illegalStates(theatre)).as(theatre.text).isEmpty();
        }
    }

    /** Of an active parallel state, all children are active; of another active state, one; of one that is not, none; a history never is. */
    private static List<String> illegalStates(Theatre theatre) {
        Chart chart = theatre.chart;
        Machine machine = theatre.machine;
        List<String> illegal = new ArrayList<>();
        for (int s = 0; s < chart.stateCount(); s++) {
            int[] children = chart.children[s];
            long active = Arrays.stream(children).filter(machine::isActive).count();
            long expected = chart.isParallel(s) ? children.length : Math.min(1, children.length);
            if (active != (machine.isActive(s) ? expected : 0) || (machine.isActive(s) && chart.isHistory(s))) {
                illegal.add(chart.state(s).name());
            }
        }
        return illegal;
    }

    @Property(tries = 150)
    void tellsWhatItDoesWithoutContradiction(@ForAll long seed, @ForAll("steps") List<Step> steps) {
        Theatre theatre = new Theatre(seed);
        steps.forEach(theatre::play);
        for (int s = 0; s < theatre.chart.stateCount(); s++) {
            assertThat(theatre.told.active.get(s)).as(theatre.text).isEqualTo(theatre.machine.isActive(s));
        }
        assertThat(theatre.told.rolling).isEqualTo(theatre.machine.isRolling());
        if (theatre.machine.onAir() >= 0) {
            assertThat(theatre.told.onAir).isEqualTo(theatre.machine.onAir());
        }
        assertThat(theatre.told.open.cardinality()).as(theatre.text).isEqualTo(theatre.machine.openDetours());
    }

    @Property(tries = 150)
    void endsEveryDetourWhoseEndComesUnlessItBeginsAnew(@ForAll long seed, @ForAll("steps") List<Step> steps) {
        Theatre theatre = new Theatre(seed);
        steps.forEach(theatre::play);
        theatre.interpreter.advanceTo(theatre.now);
        for (int t = 0; t < theatre.chart.transitionCount(); t++) {
            int until = theatre.chart.matches.until[t].nextSetBit(0);
            if (theatre.told.open.get(t)) {
                theatre.told.endedOrBegun.clear();
                if (until >= 0) {
                    theatre.machine.event(until, theatre.now, theatre.now);
                } else {
                    theatre.now += 2_000 * MILLIS;
                    theatre.interpreter.advanceTo(theatre.now);
                }
                assertThat(theatre.told.endedOrBegun.get(t))
                        .as("%d in\n%s", t, theatre.text)
                        .isTrue();
            }
        }
    }

    private static final String LESSON = """
            state standby
              on right.hold -> rolling
            state rolling angle wide rolling
              on left.press angle wheel until left.release
              on middle.press -> close until middle.release
              on red.press angle glaze until red.hold-end, red.press
              on right.tap do mark retake
              on right.hold -> standby
            state close angle hands
              on left.press angle glaze until left.release
            """;

    @Property(tries = 1000)
    void isAtHomeOnceAllContactsAreOpenAndTheLatchIsPressed(@ForAll("steps") List<Step> steps) {
        Theatre theatre = new Theatre(LESSON);
        steps.forEach(theatre::play);
        for (int contact = 0; contact < ChartText.CONTACTS.size(); contact++) {
            theatre.play(new Step(contact, false, 20 * MILLIS));
        }
        if (theatre.machine.openDetours() > 0) {
            theatre.play(new Step(3, true, 20 * MILLIS));
            theatre.play(new Step(3, false, 20 * MILLIS));
        }
        assertThat(theatre.machine.openDetours()).isZero();
        boolean rolling = theatre.machine.isRolling();
        assertThat(theatre.machine.isActive(theatre.chart.stateNumber(rolling ? "rolling" : "standby")))
                .isTrue();
        assertThat(theatre.chart.angleName(theatre.machine.onAir())).isEqualTo(rolling ? "wide" : null);
    }

    @Property(tries = 150)
    void isAtAnAngleOfAnActiveStateOnceTheDevicesAreGone(@ForAll long seed, @ForAll("steps") List<Step> steps) {
        Theatre theatre = new Theatre(seed);
        steps.forEach(theatre::play);
        theatre.interpreter.pedalLost("floor", theatre.now + MILLIS);
        theatre.interpreter.pedalLost("box", theatre.now + MILLIS);
        Machine machine = theatre.machine;
        for (int t = theatre.told.open.nextSetBit(0); t >= 0; t = theatre.told.open.nextSetBit(t + 1)) {
            assertThat(theatre.chart.transition(t).events())
                    .as("begun by no gesture in\n%s", theatre.text)
                    .allMatch(event -> !event.startsWith("floor.") && !event.startsWith("box."));
        }
        if (machine.openDetours() == 0 && machine.onAir() >= 0) {
            assertThat(anglesOfActiveStates(theatre)).as(theatre.text).contains(machine.onAir());
        }
    }

    static List<Integer> anglesOfActiveStates(Theatre theatre) {
        List<Integer> angles = new ArrayList<>();
        for (int s = 0; s < theatre.chart.stateCount(); s++) {
            if (theatre.machine.isActive(s)) {
                angles.add(theatre.chart.angle[s]);
            }
        }
        for (int t = 0; t < theatre.chart.transitionCount(); t++) {
            int angle = theatre.chart.transitionAngle[t];
            int holder = theatre.chart.targets[t].length == 0 ? theatre.chart.source[t] : theatre.chart.firstTarget(t);
            if (angle >= 0 && !theatre.chart.transition(t).isDetour() && theatre.machine.isActive(holder)) {
                angles.add(angle);
            }
        }
        return angles;
    }

    @Property(tries = 150)
    void doesTheSameHoweverOftenTheTimeIsTold(@ForAll long seed, @ForAll("steps") List<Step> steps) {
        Theatre whole = new Theatre(seed);
        Theatre split = new Theatre(seed);
        for (Step step : steps) {
            whole.play(step);
            for (long part = 0; part < step.afterNanos; part += 17 * MILLIS) {
                split.interpreter.advanceTo(split.now + part);
            }
            split.play(step);
        }
        assertThat(split.told.all).as(whole.text).isEqualTo(whole.told.all);
    }

    @Property(tries = 150)
    void isNeverLateForItsOwnDeadline(@ForAll long seed, @ForAll("steps") List<Step> steps) {
        Theatre theatre = new Theatre(seed);
        for (Step step : steps) {
            theatre.play(step);
            long next = theatre.interpreter.nextDeadline();
            assertThat(next).isGreaterThanOrEqualTo(theatre.now);
            if (next != Recognizer.NEVER) {
                theatre.interpreter.advanceTo(next);
                theatre.now = Math.max(theatre.now, next);
            }
        }
    }

    /** What was told. */
    static final class Told implements Effects {
        private final Chart chart;
        final List<String> all = new ArrayList<>();
        final BitSet active = new BitSet();
        final BitSet open = new BitSet();
        final BitSet endedOrBegun = new BitSet();
        private long last = Long.MIN_VALUE;
        boolean rolling;
        int onAir = -1;

        Told(Chart chart) {
            this.chart = chart;
        }

        void checkTime(long began, long at) {
            expect(began <= at && at >= last);
            last = at;
        }

        private static void expect(boolean holds) {
            if (!holds) {
                throw new AssertionError("told what contradicts what was told before");
            }
        }

        private void tell(String what, long began, long at) {
            checkTime(began, at);
            all.add(what + " " + began + " " + at);
        }

        @Override
        public void taken(int transition, boolean returning, long began, long at) {
            tell("taken " + transition + returning, began, at);
            endedOrBegun.set(transition);
            if (returning) {
                expect(open.get(transition));
                open.clear(transition);
            } else {
                open.set(
                        transition,
                        open.get(transition) || chart.transition(transition).isDetour());
            }
        }

        @Override
        public void entered(int state, long began, long at) {
            tell("entered " + state, began, at);
            expect(!active.get(state));
            active.set(state);
        }

        @Override
        public void left(int state, long began, long at) {
            tell("left " + state, began, at);
            expect(active.get(state));
            active.clear(state);
        }

        @Override
        public void takeOpened(long take, long began, long at) {
            tell("take " + take, began, at);
            expect(!rolling);
            rolling = true;
        }

        @Override
        public void takeClosed(long take, long began, long at) {
            tell("closed " + take, began, at);
            expect(rolling);
            rolling = false;
        }

        @Override
        public void cut(int angle, long began, long at) {
            tell("cut " + angle, began, at);
            onAir = angle;
        }

        @Override
        public void send(int message, Values values, long began, long at) {
            tell("send " + message, began, at);
        }

        @Override
        public void mark(String kind, @Nullable String text, long began, long at) {
            tell("mark " + kind, began, at);
        }

        @Override
        public void fault(String text, long at) {
            tell("fault", at, at);
        }
    }
}
