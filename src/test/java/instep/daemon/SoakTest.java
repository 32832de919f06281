package instep.daemon;

import static org.assertj.core.api.Assertions.assertThat;
import static org.awaitility.Awaitility.await;

import instep.config.ConfigReader;
import instep.input.KeyPipe;
import instep.journal.Audit;
import instep.journal.DamagedLineException;
import instep.journal.Disk;
import instep.journal.Entry;
import instep.journal.JournalScan;
import instep.journal.Key;
import instep.journal.Kind;
import instep.rehearsal.Comparison;
import instep.rehearsal.RecordedRun;
import instep.rehearsal.Replay;
import java.io.IOException;
import java.nio.ByteBuffer;
import java.nio.channels.FileChannel;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.util.ArrayList;
import java.util.EnumSet;
import java.util.HashSet;
import java.util.List;
import java.util.Optional;
import java.util.Random;
import java.util.Set;
import java.util.concurrent.TimeUnit;
import java.util.stream.Stream;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.Timeout;
import org.junit.jupiter.api.io.TempDir;

/**
 * Days of lessons in minutes, by a person with restless feet and bad luck: each day has 600 presses, pedals pulled out and put back, gear switched off and on, configurations saved well
 * and badly, a clock that is set and a disk that is full for a while. What is asked after each day is asked from outside: what the gear has heard, what stands in the journal, and what the
 * process uses. {@code soak.minutes} says how long, {@code soak.seed} which feet.
 */
@Tag("soak")
class SoakTest {
    private static final Duration PATIENCE = Duration.ofSeconds(60);
    private static final int PRESSES = 600;
    private static final int[] KEYS = {DeskRig.LEFT, DeskRig.MIDDLE, DeskRig.RIGHT};

    private static final String CONFIGURATION = """
            instep: 1
            timecode: { rate: 25 }
            gear:
              mixer: { tcp: "127.0.0.1:9701", line-end: crlf, stale-after: 60s }
              second: { tcp: "127.0.0.1:9702", line-end: crlf, stale-after: 50ms }
            angles:
              wide:  { reel: WIDE,  cut: [{ mixer: "CUT 1" }, { second: "CUT 1" }] }
              wheel: { reel: WHEEL, cut: [{ mixer: "CUT 2" }, { second: "CUT 2" }] }
              hands: { reel: HANDS, cut: [{ mixer: "CUT 3" }, { second: "CUT 3" }] }
              glaze: { reel: GLAZE, cut: [{ mixer: "CUT 4" }, { second: "CUT 4" }] }
            messages:
              roll: { mixer: "ROLL {take}" }
              stop: { mixer: "STOP {take}" }
            pedals:
              floor: { match: { usb: "0000:0000" }, contacts: { left: KEY_A, middle: KEY_B, right: KEY_C } }
            timing: { debounce: 1ms, hold: 12ms, double-tap: 6ms }
            data: { count: { initial: 0, min: 0, max: 1000000000 } }
            machine:
              initial: standby
              states:
                standby: { on: { right.hold: rolling } }
                rolling:
                  rolling: true
                  angle: wide
                  onentry: { send: roll }
                  onexit: { send: stop }
                  on:
                    left.press: { angle: wheel, until: left.release }
                    middle.press: { angle: hands, until: middle.press, set: { count: +1 } }
                    right.double-tap: { mark: retake }
                    right.tap: { mark: chapter }
                    right.hold: standby
            """;

    @TempDir
    private Path work = Path.of("");

    private final Random random = new Random(Long.getLong("soak.seed", 20_260_302L));
    private volatile boolean diskIsFull;

    /** What a process uses. */
    private record Use(long threads, long descriptors, long heap) {
        static Use now() throws IOException {
            for (int i = 0; i < 3; i++) {
                System.gc();
            }
            Runtime java = Runtime.getRuntime();
            try (Stream<Path> open = Files.list(Path.of("/proc/self/fd"))) {
                return new Use(Thread.activeCount(), open.count(), java.totalMemory() - java.freeMemory());
            }
        }
    }

    private final class FullDisk implements Disk {
        @Override
        public int write(FileChannel file, ByteBuffer bytes, long position) throws IOException {
            if (diskIsFull) {
                throw new IOException("No space left on device");
            }
            return Disk.super.write(file, bytes, position);
        }
    }

    @Timeout(value = 30, unit = TimeUnit.DAYS) // it ends by itself, after as long as was asked for
    @Test
    void nothingIsLostOrStuckAndNothingGrows() throws Exception {
        long end = System.nanoTime() + TimeUnit.MINUTES.toNanos(Long.getLong("soak.minutes", 5));
        Path folder = work.resolve("journal");
        try (LineSink mixer = LineSink.open();
                LineSink second = LineSink.open()) {
            Path file = work.resolve("pottery.yaml");
            Files.writeString(file, placed(CONFIGURATION, mixer, second));
            Daemon daemon = Daemon.start(
                    ConfigReader.read(file),
                    new Daemon.Options(folder, 1, Optional.empty(), false),
                    new Daemon.Surroundings(new FullDisk()));
            daemon.follow(List.of(file));
            Days days = new Days(daemon, folder, file, mixer, second);
            Use first = new Use(0, 0, 0);
            do {
                days.live();
                Use use = Use.now();
                System.out.println("day " + days.count + ": " + days.presses + " presses, " + days.takes + " takes, "
                        + days.reloads + " reloads, " + use);
                if (days.count == 3) {
                    first = use;
                } else if (days.count > 3) {
                    doesNotGrow(first);
                }
            } while (System.nanoTime() < end || days.count < 4);
            daemon.close("the last day is over");
            assertThat(days.count).isGreaterThan(3);
        }
        isWholeAndHoldsInAReplay(folder);
    }

    /** A busy machine may take a while to close what has been let go. */
    private static void doesNotGrow(Use first) {
        await().atMost(PATIENCE).untilAsserted(() -> {
            Use use = Use.now();
            assertThat(use.threads()).isLessThanOrEqualTo(first.threads() + 1);
            assertThat(use.descriptors()).isLessThanOrEqualTo(first.descriptors() + 1);
            assertThat(use.heap()).isLessThan(first.heap() + 6_000_000);
        });
    }

    private void isWholeAndHoldsInAReplay(Path folder) throws Exception {
        List<String> faults = new ArrayList<>();
        JournalScan.of(folder, new Audit(faults::add));
        assertThat(faults).isEmpty();
        RecordedRun run = RecordedRun.read(folder, 0).orElseThrow();
        Path again = work.resolve("again");
        Replay.write(run, ConfigReader.parse("pottery.yaml", run.config().orElseThrow()), again, "it");
        Comparison both = Comparison.of(run, RecordedRun.read(again, 0).orElseThrow());
        assertThat(both.differences()).isEmpty();
        assertThat(both.decisions()).isGreaterThan(1_000);
    }

    private static String placed(String yaml, LineSink mixer, LineSink second) {
        return yaml.replace(":9701", ":" + mixer.port()).replace(":9702", ":" + second.port());
    }

    /** One day after the other. */
    private final class Days {
        private final Daemon daemon;
        private final Path folder;
        private final Path file;
        private final LineSink mixer;
        private final LineSink second;
        private final Set<Integer> down = new HashSet<>();
        private KeyPipe pedals;
        private long read;
        private int count;
        private long presses;
        private long takes;
        private long reloads;

        Days(Daemon daemon, Path folder, Path file, LineSink mixer, LineSink second) throws IOException {
            this.daemon = daemon;
            this.folder = folder;
            this.file = file;
            this.mixer = mixer;
            this.second = second;
            pedals = KeyPipe.open();
            daemon.attach(0, pedals.readEnd());
        }

        private void plugIn() throws IOException {
            pedals = KeyPipe.open();
            daemon.attach(0, pedals.readEnd());
        }

        void live() throws Exception {
            count++;
            for (int i = 0; i < PRESSES; i++) {
                step();
                if (random.nextInt(PRESSES / 20) == 0) {
                    mishap();
                }
            }
            diskIsFull = false;
            goHome();
            lookBack();
        }

        /** A pedal goes down or up. */
        private void step() throws Exception {
            int key = KEYS[random.nextInt(KEYS.length)];
            key(key, !down.contains(key));
            pass(1 + random.nextInt(random.nextInt(10) == 0 ? 40 : 10));
        }

        private void key(int key, boolean closed) throws IOException {
            pedals.key(key, closed, System.nanoTime());
            presses += closed ? 1 : 0;
            if (closed) {
                down.add(key);
            } else {
                down.remove(key);
            }
        }

        /** Feet take their time; the only wait here that nobody can be asked about. */
        private void pass(int millis) {
            java.util.concurrent.locks.LockSupport.parkNanos(millis * 1_000_000L);
        }

        private void mishap() throws Exception {
            switch (random.nextInt(7)) {
                case 0 -> second.off();
                case 1 -> {
                    second.off();
                    second.on();
                }
                case 2 -> replug();
                case 3 -> save(good());
                case 4 ->
                    save(
                            random.nextBoolean()
                                    ? good().substring(0, 900)
                                    : good().replace("angle: wide", "angle: wied"));
                case 5 -> daemon.clockSet();
                default -> diskIsFull = !diskIsFull;
            }
        }

        private void replug() throws IOException {
            pedals.close();
            down.clear();
            await().atMost(PATIENCE).untilAsserted(this::plugInAgain);
        }

        /** As soon as the daemon knows that the old one is gone. */
        private void plugInAgain() throws IOException {
            try {
                plugIn();
            } catch (IllegalArgumentException e) {
                pedals.close();
                throw new AssertionError(e);
            }
        }

        private String good() {
            String yaml = CONFIGURATION;
            if (random.nextBoolean()) {
                yaml = yaml.replace("left.press: { angle: wheel", "left.press: { angle: glaze");
            }
            if (random.nextInt(3) == 0) {
                yaml = yaml + "reload: at-once\n";
            }
            if (random.nextInt(3) == 0) {
                yaml = yaml.replace("  second: {", "  other: {").replace("{ second: ", "{ other: ");
            }
            if (random.nextInt(4) == 0) {
                yaml = yaml.replace("right.hold: rolling", "right.hold: teaching")
                        .replace("    rolling:\n", "    teaching:\n");
            }
            return placed(yaml, mixer, second);
        }

        private void save(String yaml) throws IOException {
            if (random.nextBoolean()) {
                Path other = Files.writeString(file.resolveSibling("new.yaml"), yaml);
                Files.move(other, file, java.nio.file.StandardCopyOption.REPLACE_EXISTING);
            } else {
                Files.writeString(file, yaml);
            }
        }

        /** Feet off, gear on, the take over, and the good configuration in force. */
        private void goHome() throws Exception {
            second.off();
            second.on();
            for (int key : KEYS) {
                if (down.contains(key)) {
                    key(key, false);
                }
            }
            pass(20);
            await().atMost(PATIENCE).until(() -> !isRolling() || holdRight());
            save(placed(CONFIGURATION, mixer, second) + "# " + count + "\n");
            await().atMost(PATIENCE)
                    .until(() -> last(Kind.CONFIG).text(Key.TEXT).orElse("").endsWith("# " + count + "\n"));
            // A short lesson that must go by the book, whatever the day was like.
            int before = mixer.count();
            long closed = count(Kind.TAKE_CLOSE);
            holdRight();
            await().atMost(PATIENCE).until(() -> mixer.count() == before + 2);
            key(DeskRig.LEFT, true);
            await().atMost(PATIENCE).until(() -> mixer.count() == before + 3);
            key(DeskRig.LEFT, false);
            await().atMost(PATIENCE).until(() -> mixer.count() == before + 4);
            holdRight();
            await().atMost(PATIENCE).until(() -> mixer.count() == before + 5 && count(Kind.TAKE_CLOSE) == closed + 1);
        }

        private boolean isRolling() throws IOException {
            return count(Kind.TAKE_OPEN) > count(Kind.TAKE_CLOSE);
        }

        private boolean holdRight() throws IOException {
            long held = count(Kind.GESTURE);
            key(DeskRig.RIGHT, true);
            await().atMost(PATIENCE).until(() -> count(Kind.GESTURE) > held);
            pass(25);
            key(DeskRig.RIGHT, false);
            pass(25);
            return false;
        }

        private void lookBack() throws IOException {
            List<Entry> day = entries(EnumSet.of(Kind.SENT, Kind.CUT, Kind.TAKE_OPEN, Kind.CONFIG, Kind.FAULT)).stream()
                    .filter(entry -> entry.seq() > read)
                    .toList();
            read = day.get(day.size() - 1).seq();
            takes +=
                    day.stream().filter(entry -> entry.kind() == Kind.TAKE_OPEN).count();
            reloads += day.stream().filter(entry -> entry.kind() == Kind.CONFIG).count();
            List<String> heard = mixer.take();
            assertThat(heard).isEqualTo(told(day, "mixer"));
            assertThat(heard.subList(heard.size() - 4, heard.size() - 1)).containsExactly("CUT 1", "CUT 2", "CUT 1");
            List<String> alsoTold = new ArrayList<>(told(day, "second", "other"));
            for (String line : second.take()) {
                int at = alsoTold.indexOf(line);
                assertThat(at)
                        .as("the second mixer heard %s, which it was not told then", line)
                        .isNotNegative();
                alsoTold.subList(0, at + 1).clear();
            }
            assertThat(day).noneMatch(entry -> entry.number(Key.GAP).isPresent());
        }

        private List<String> told(List<Entry> entries, String... gear) {
            return entries.stream()
                    .filter(entry -> entry.kind() == Kind.SENT
                            && List.of(gear).contains(entry.text(Key.GEAR).orElse("")))
                    .map(entry -> entry.text(Key.WHAT).orElse(""))
                    .toList();
        }

        private long count(Kind kind) throws IOException {
            return entries(EnumSet.of(kind)).size();
        }

        private Entry last(Kind kind) throws IOException {
            List<Entry> all = entries(EnumSet.of(kind));
            return all.get(all.size() - 1);
        }

        private List<Entry> entries(Set<Kind> kinds) throws IOException {
            List<Entry> entries = new ArrayList<>();
            JournalScan.of(folder, kinds, new JournalScan.Visitor() {
                @Override
                public void entry(Path of, long line, Entry entry) {
                    entries.add(entry);
                }

                @Override
                public void damaged(DamagedLineException what) {
                    throw new AssertionError(what);
                }
            });
            return entries;
        }
    }
}
