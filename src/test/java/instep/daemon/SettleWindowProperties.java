package instep.daemon;

import static org.assertj.core.api.Assertions.assertThat;

import instep.config.ConfigException;
import instep.config.ConfigReader;
import instep.machine.Chart;
import instep.machine.Effects;
import instep.machine.Interpreter;
import instep.machine.Values;
import io.netty.channel.IoHandle;
import io.netty.channel.IoHandler;
import io.netty.channel.IoHandlerContext;
import io.netty.channel.IoRegistration;
import io.netty.channel.ManualIoEventLoop;
import io.netty.util.concurrent.MockTicker;
import io.netty.util.concurrent.Ticker;
import java.util.ArrayList;
import java.util.List;
import java.util.concurrent.TimeUnit;
import net.jqwik.api.Arbitraries;
import net.jqwik.api.Arbitrary;
import net.jqwik.api.Combinators;
import net.jqwik.api.ForAll;
import net.jqwik.api.Property;
import net.jqwik.api.Provide;
import net.jqwik.api.Tuple;
import org.jspecify.annotations.Nullable;

/**
 * However late edges are read within the window, and however late the loop comes to its timers: what is decided, and when, is what would have been
 * if each had come at its own time. Edges are read in the order in which they were made, as one device gives them; of two devices that are read
 * the wrong way round, the second one's edge counts as of the first one's time, since a press waits for nothing.
 */
class SettleWindowProperties {
    private static final long MILLIS = 1_000_000L;
    private static final int CONTACTS = 4;

    private static final String CONFIG = """
            instep: 1
            timecode: { rate: 25 }
            gear: { mixer: { tcp: "127.0.0.1:9" } }
            angles:
              wide:  { reel: WIDE,  cut: { mixer: "CUT 1" } }
              wheel: { reel: WHEEL, cut: { mixer: "CUT 2" } }
              hands: { reel: HANDS, cut: { mixer: "CUT 3" } }
              glaze: { reel: GLAZE, cut: { mixer: "CUT 4" } }
            pedals:
              floor: { match: { usb: "1209:2303" }, contacts: { left: KEY_A, middle: KEY_B, right: KEY_C } }
              box:   { match: { usb: "1209:b0b0" }, contacts: { red: { byte: 1, bit: 0, lift-grace: 20ms } } }
            timing: { debounce: 8ms, hold: 100ms, double-tap: 60ms }
            machine:
              initial: calm
              states:
                calm:
                  angle: wide
                  on:
                    left.press: { angle: wheel, until: [left.release, 90ms] }
                    middle.press: { angle: hands, until: middle.press }
                    left+middle.press: { mark: both }
                    red.press: { target: busy, until: red.release }
                    right.tap: { mark: retake }
                    right.double-tap: { mark: chapter }
                    right.hold: busy
                busy:
                  angle: glaze
                  on: { right.tap: calm, left.press: { angle: hands, after: 5ms } }
                  eventless: [{ after: 150ms, target: calm }]
            """;

    private static final Chart CHART = chart();

    private static Chart chart() {
        try {
            return ConfigReader.parse("random.yaml", CONFIG).chart();
        } catch (ConfigException e) {
            throw new IllegalArgumentException(e);
        }
    }

    /** Made so long after the one before, read so long after it was made; the loop comes to its timers so much later than it is woken. */
    record Edge(int contact, boolean closed, long after, long readLate, long timerLate) {}

    @Provide
    Arbitrary<List<Edge>> edges() {
        Arbitrary<Long> after = Arbitraries.oneOf(
                Arbitraries.longs().between(0, 3 * MILLIS),
                Arbitraries.longs().between(0, 120 * MILLIS),
                Arbitraries.of(0L, 5 * MILLIS, 8 * MILLIS, 60 * MILLIS, 90 * MILLIS, 100 * MILLIS)
                        .flatMap(near -> Arbitraries.longs().between(Math.max(0, near - MILLIS), near + MILLIS)));
        Arbitrary<Long> readLate = Arbitraries.longs().between(0, Loop.SETTLE_NANOS);
        Arbitrary<Long> timerLate = Arbitraries.frequencyOf(
                Tuple.of(3, Arbitraries.just(0L)),
                Tuple.of(1, Arbitraries.longs().between(0, 40 * MILLIS)));
        return Combinators.combine(
                        Arbitraries.integers().between(0, CONTACTS - 1),
                        Arbitraries.of(true, false),
                        after,
                        readLate,
                        timerLate)
                .as(Edge::new)
                .list()
                .ofMinSize(10)
                .ofMaxSize(60);
    }

    @Property(tries = 150)
    void decidesTheSameInWhateverOrderEdgesAndTimersArrive(@ForAll("edges") List<Edge> edges) {
        Told live = new Told();
        Told ideal = new Told();
        Interpreter interpreter = interpreter(ideal);
        interpreter.start(0);
        long made = 0;
        for (Edge edge : edges) {
            made += edge.after;
            interpreter.edge(edge.contact, edge.closed, false, made);
        }
        interpreter.advanceTo(made + 1_000 * MILLIS);
        new Desk(live).play(edges);
        assertThat(live.all).isEqualTo(ideal.all);
    }

    private static Interpreter interpreter(Told told) {
        return new Interpreter(CHART, name -> null, told, told::gesture);
    }

    /** The daemon's loop, with a clock that goes when it is told to. */
    private static final class Desk {
        private final MockTicker clock = Ticker.newMockTicker();
        private final ManualIoEventLoop events =
                new ManualIoEventLoop(null, Thread.currentThread(), executor -> new NoDevices(), clock);
        private final Loop loop = new Loop(events, clock::nanoTime, 1);
        private final Interpreter interpreter;
        /** Until when the loop is busy with something else. */
        private long busyUntil;

        Desk(Told told) {
            interpreter = interpreter(told);
            loop.setTimer(interpreter::nextDeadline, interpreter::advanceTo);
            interpreter.start(0);
            loop.arm();
        }

        void play(List<Edge> edges) {
            long made = 0;
            long read = 0;
            for (Edge edge : edges) {
                made += edge.after;
                read = Math.max(read, made + edge.readLate);
                runTimersBefore(read);
                // Epoll gives what is readable before timers run; a busy loop gives all that has come meanwhile.
                interpreter.edge(edge.contact, edge.closed, false, made);
                loop.arm();
                busyUntil = read + edge.timerLate;
            }
            runTimersBefore(made + 1_000 * MILLIS);
        }

        /** The timers that the loop comes to before it reads the next edge; it is woken more often the nearer a deadline is. */
        private void runTimersBefore(long read) {
            while (clock.nanoTime() < read) {
                long now = clock.nanoTime();
                long step = Math.max(MILLIS / 4, (interpreter.nextDeadline() - now) / 2);
                clock.advance(Math.min(read - now, step), TimeUnit.NANOSECONDS);
                if (clock.nanoTime() < read && clock.nanoTime() >= busyUntil) {
                    keepDeadlines();
                }
            }
        }

        /** One turn of the loop runs one deadline; none that is over the window is left to a later time. */
        private void keepDeadlines() {
            for (int turn = 0; turn < 5; turn++) {
                events.runNow();
            }
            assertThat(interpreter.nextDeadline()).isGreaterThan(clock.nanoTime() - Loop.SETTLE_NANOS);
        }
    }

    /** No device is read. */
    private static final class NoDevices implements IoHandler {
        @Override
        public int run(IoHandlerContext context) {
            return 0;
        }

        @Override
        public IoRegistration register(IoHandle handle) {
            throw new UnsupportedOperationException();
        }

        @Override
        public void wakeup() {
            // It never sleeps.
        }

        @Override
        public boolean isCompatible(Class<? extends IoHandle> type) {
            return false;
        }
    }

    /** All that is decided, with its times. */
    private static final class Told implements Effects {
        final List<String> all = new ArrayList<>();

        private void tell(String what, long began, long at) {
            all.add(at + " " + what + " began " + began);
        }

        void gesture(int gesture, long began, long at) {
            tell(CHART.eventName(gesture), began, at);
        }

        @Override
        public void taken(int transition, boolean returning, long began, long at) {
            tell("taken " + transition + returning, began, at);
        }

        @Override
        public void entered(int state, long began, long at) {
            tell("entered " + state, began, at);
        }

        @Override
        public void left(int state, long began, long at) {
            tell("left " + state, began, at);
        }

        @Override
        public void takeOpened(long take, long began, long at) {
            tell("take " + take, began, at);
        }

        @Override
        public void takeClosed(long take, long began, long at) {
            tell("take over " + take, began, at);
        }

        @Override
        public void cut(int angle, long began, long at) {
            tell("cut " + angle, began, at);
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
            tell("fault " + text, at, at);
        }
    }
}
