package instep.rehearsal;

import static org.assertj.core.api.Assertions.assertThat;
import static org.awaitility.Awaitility.await;

import instep.clock.TimeOfDay;
import instep.config.ConfigReader;
import instep.config.Settings;
import instep.daemon.Chronicle;
import instep.daemon.Clockwork;
import instep.daemon.Loop;
import instep.daemon.Switchboard;
import instep.gear.Crew;
import instep.gear.GearListener;
import instep.gear.GearListener.LinkState;
import instep.gear.Message;
import instep.input.InputListener.DeviceState;
import instep.journal.Durability;
import instep.journal.Happening;
import instep.journal.Journal;
import instep.journal.JournalSettings;
import instep.journal.Keeping;
import instep.journal.RunStart;
import instep.machine.Values;
import instep.time.FrameRate;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.time.Instant;
import java.time.ZoneId;
import java.util.ArrayDeque;
import java.util.Comparator;
import java.util.Deque;
import java.util.List;
import java.util.function.LongConsumer;
import java.util.function.LongPredicate;
import java.util.function.LongSupplier;
import java.util.stream.Stream;
import net.jqwik.api.Arbitraries;
import net.jqwik.api.Arbitrary;
import net.jqwik.api.Combinators;
import net.jqwik.api.ForAll;
import net.jqwik.api.Property;
import net.jqwik.api.Provide;
import net.jqwik.api.Tuple;

/** Whatever the feet, the gear and the load of the machine do: the journal tells all that the decisions follow from. */
class ReplayProperties {
    private static final long MILLIS = 1_000_000L;
    private static final long START = 4_000_000_000_000L;
    private static final ZoneId ZONE = ZoneId.of("Europe/Vienna");
    private static final String CONFIG = """
            instep: 1
            timecode: { rate: 29.97-drop }
            gear:
              mixer:
                tcp: "127.0.0.1:9"
                replies:
                  - { line: "^ONAIR (?<angle>[0-9])$", on-air: { "1": wide, "2": wheel, "3": hands, "4": glaze } }
                  - { line: "^ONAIR 4$", event: mixer.table }
                  - { line: "^STEP (?<n>.*)$", set: { step: "{n}" } }
              lamp:
                osc: "udp 127.0.0.1:9"
                roll-within: 400ms
                resync: none
                replies:
                  - { line: "^/rec 1$", rolling: true }
                  - { line: "^/rec 0$", rolling: false }
            angles:
              wide:  { reel: WIDE,  cut: { mixer: "CUT 1" } }
              wheel: { reel: WHEEL, cut: { mixer: "CUT 2" } }
              hands: { reel: HANDS, cut: { mixer: "CUT 3" } }
              glaze: { reel: GLAZE }
            messages: { roll: { lamp: { osc: /roll } } }
            pedals:
              floor: { match: { usb: "1209:2303" }, contacts: { left: KEY_A, middle: KEY_B, right: KEY_C } }
              box:   { match: { usb: "1209:b0b0" }, contacts: { red: { byte: 1, bit: 0, lift-grace: 20ms } } }
            timing: { hold: 300ms, double-tap: 200ms }
            machine:
              initial: standby
              states:
                standby:
                  on:
                    right.hold: rolling
                    mixer.up: { mark: up, text: "{timecode}" }
                rolling:
                  rolling: true
                  angle: wide
                  onentry: { send: roll }
                  initial: calm
                  on:
                    left.press: { angle: wheel, until: [left.release, 700ms] }
                    middle.press: { angle: hands, until: middle.press }
                    left+middle.press: { mark: both, text: "{timecode} {angle}" }
                    red.press: { target: busy, until: [red.release, floor.lost] }
                    right.tap: [{ cond: { mixer: up }, mark: retake }, { mark: alone, text: "{timecode}" }]
                    right.double-tap: { mark: chapter, text: "step {chapter}" }
                    right.hold: standby
                    mixer.silent: { angle: glaze, until: 250ms }
                    lamp.refused: { mark: dark }
                    lamp.silent: { mark: still }
                    lamp.stopped: { angle: hands, mark: stopped }
                    mixer.table: { mark: table, text: "{timecode} {step} {angle}" }
                  states:
                    calm: { eventless: [{ after: 900ms, target: busy }] }
                    busy: { angle: glaze, on: { box.red.tap: calm } }
            """;

    private static final List<String> SAID = List.of(
            "ONAIR 1",
            "ONAIR 2",
            "ONAIR 3",
            "ONAIR 4",
            "ONAIR 7",
            "STEP 5",
            "STEP wide",
            "hello",
            "/rec 1",
            "/rec 0",
            "/level 3");

    /** Something happens so long after what happened before, and is read so late; timers are served so late meanwhile. */
    record Input(int what, long after, long readLate, long timerLate) {}

    private static long wall(long mono) {
        return Instant.parse("2026-03-02T09:00:00.123Z").toEpochMilli() * MILLIS + (mono - START);
    }

    @Provide
    Arbitrary<List<Input>> inputs() {
        // 0 to 7: contacts close and open; 8 to 15: devices and gear; from 16: what gear says.
        Arbitrary<Integer> what = Arbitraries.frequencyOf(
                Tuple.of(12, Arbitraries.integers().between(0, 7)),
                Tuple.of(1, Arbitraries.integers().between(8, 15)),
                Tuple.of(3, Arbitraries.integers().between(16, 15 + SAID.size())));
        Arbitrary<Long> after = Arbitraries.oneOf(
                Arbitraries.longs().between(0, 12 * MILLIS),
                Arbitraries.longs().between(0, 400 * MILLIS),
                Arbitraries.of(0L, 8 * MILLIS, 60 * MILLIS, 200 * MILLIS, 300 * MILLIS, 1_000 * MILLIS));
        Arbitrary<Long> late = Arbitraries.frequencyOf(
                Tuple.of(3, Arbitraries.longs().between(0, MILLIS)),
                Tuple.of(1, Arbitraries.longs().between(0, 80 * MILLIS)));
        return Combinators.combine(what, after, late, late)
                .as(Input::new)
                .list()
                .ofMaxSize(80);
    }

    @Property(tries = 200)
    void decidesTheSameFromTheJournal(@ForAll("inputs") List<Input> inputs) throws Exception {
        Path folder = Files.createTempDirectory("instep-replay-");
        try {
            Settings settings = ConfigReader.parse("random.yaml", CONFIG);
            live(inputs, settings, folder.resolve("live"));
            RecordedRun run = RecordedRun.read(folder.resolve("live"), 0).orElseThrow();
            Replay.write(run, settings, folder.resolve("again"), "a random one");
            assertThat(Collected.decisions(folder.resolve("again"))).isEqualTo(Collected.decisions(run));
        } finally {
            delete(folder);
        }
    }

    static void delete(Path folder) throws IOException {
        try (Stream<Path> files = Files.walk(folder)) {
            for (Path file : files.sorted(Comparator.reverseOrder()).toList()) {
                Files.delete(file);
            }
        }
    }

    /** What a daemon does, on a machine as slow as one likes. */
    private static void live(List<Input> inputs, Settings settings, Path folder) throws Exception {
        JournalSettings where = new JournalSettings(
                folder,
                FrameRate.R29_97_DROP,
                ZONE,
                new Keeping(Durability.OS, 1_000_000_000L, 2_000_000_000L),
                20_000);
        try (Journal journal = Journal.openAt(START, where, ReplayProperties::wall, line -> {})) {
            SlowClock clock = new SlowClock();
            Chronicle chronicle = new Chronicle(
                    journal, new TimeOfDay(FrameRate.R29_97_DROP, ZONE, ReplayProperties::wall), false, START);
            Switchboard switchboard =
                    new Switchboard(settings, chronicle, clock, listener -> new Moody(listener, clock));
            long record = chronicle.note(START, RunStart.of("test", "random.yaml", 1, "29.97-drop"));
            chronicle.note(START, Happening.config("random.yaml", "", settings.text()));
            switchboard.start(record, START, 0);
            clock.runLater();
            long stamp = START;
            for (Input input : inputs) {
                stamp += input.after();
                clock.passTo(stamp + input.readLate(), input.timerLate());
                act(input.what(), switchboard, stamp);
                clock.runLater();
            }
            clock.passTo(stamp + 1_000 * MILLIS, 0);
            switchboard.stop("over");
            await().pollDelay(Duration.ZERO)
                    .pollInterval(Duration.ofMillis(1))
                    .atMost(Duration.ofMinutes(5))
                    .until(() -> journal.pending() == 0);
        }
    }

    private static void act(int what, Switchboard to, long stamp) {
        switch (what) {
            case 8 -> to.pedals().device(0, DeviceState.ABSENT, "", stamp);
            case 9 -> to.pedals().device(0, DeviceState.UP, "", stamp);
            case 10 -> to.gear().link(0, LinkState.LOST, "");
            case 11 -> to.gear().link(0, LinkState.UP, "");
            case 12 -> to.gear().refused(0, 1, true, null);
            case 13 -> to.gear().refused(1, 1, false, null);
            case 14 -> to.gear().link(1, LinkState.LOST, "");
            case 15 -> to.gear().link(1, LinkState.UP, "");
            default -> {
                if (what < 8) {
                    to.pedals().edge(what / 2, what % 2 == 0, false, stamp);
                } else {
                    String said = SAID.get(what - 16);
                    to.gear().reply(said.startsWith("/") ? 1 : 0, -1, said, stamp);
                }
            }
        }
    }

    /** The loop's timer, served late. */
    private static final class SlowClock implements Clockwork {
        private final Deque<Runnable> later = new ArrayDeque<>();
        private long now = START;
        private LongSupplier deadline = () -> Long.MAX_VALUE;
        private LongConsumer due = at -> {};

        void passTo(long nanos, long timerLate) {
            for (long at = deadline.getAsLong();
                    at <= nanos - Loop.SETTLE_NANOS - timerLate;
                    at = deadline.getAsLong()) {
                now = Math.max(now, at + Loop.SETTLE_NANOS + timerLate);
                due.accept(at);
                runLater();
            }
            now = Math.max(now, nanos);
        }

        void runLater() {
            for (Runnable task = later.poll(); task != null; task = later.poll()) {
                task.run();
            }
        }

        @Override
        public long now() {
            return now;
        }

        @Override
        public long timeOf(long nanos) {
            return nanos;
        }

        @Override
        public long lasted(long nanos) {
            return nanos;
        }

        @Override
        public void setTimer(LongSupplier nextDeadline, LongConsumer onDue) {
            deadline = nextDeadline;
            due = onDue;
        }

        @Override
        public void arm() {
            // The test tells the time.
        }

        @Override
        public void later(Runnable task) {
            later.add(task);
        }

        @Override
        public long settle() {
            return Loop.SETTLE_NANOS;
        }

        @Override
        public void bug(RuntimeException bug) {
            throw bug;
        }
    }

    /** Gear that now and then fails while it is being told something. */
    private static final class Moody implements Crew {
        private final GearListener listener;
        private int told;
        private final Clockwork clock;
        private int cut;

        Moody(GearListener listener, Clockwork clock) {
            this.listener = listener;
            this.clock = clock;
        }

        @Override
        public void start() {
            listener.link(0, LinkState.UP, "");
        }

        @Override
        public void send(Message message, Values values, long ticket) {
            told++;
            if (told % 5 == 0) {
                listener.link(0, told % 2 == 0 ? LinkState.UP : LinkState.LOST, "");
            } else if (told % 7 == 0) {
                listener.refused(0, ticket, true, null);
            } else if (message.isCut() && told % 3 != 0) {
                // At once, before anybody has drawn breath; and now and then it is the cut before.
                int number = 1
                        + List.of("cut wide", "cut wheel", "cut hands", "cut glaze")
                                .indexOf(message.name());
                listener.reply(0, -1, "ONAIR " + (told % 4 == 0 ? cut : number), clock.now());
                cut = number;
            }
        }

        @Override
        public void sendTo(int gear, Message message, Values values, long ticket) {
            send(message, values, ticket);
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
    }
}
