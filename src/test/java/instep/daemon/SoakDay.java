package instep.daemon;

import static org.assertj.core.api.Assertions.assertThat;
import static org.awaitility.Awaitility.await;

import instep.journal.Entry;
import instep.journal.Key;
import instep.journal.Kind;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardCopyOption;
import java.time.Duration;
import java.time.Instant;
import java.util.List;
import java.util.Optional;
import java.util.Random;
import java.util.concurrent.Callable;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.locks.LockSupport;
import java.util.regex.Pattern;

/**
 * The days of a soak, one after the other: restless feet, and mishaps; in the evening a lesson by the book, and a look back. Pedals are pulled out, gear is switched off and on, somebody cuts at the
 * mixer, configurations are saved well and badly, the clock is set by up to a day, the disk is full for a while, visitors crowd the page, and the daemon is killed.
 */
final class SoakDay {
    private static final Duration PATIENCE = Duration.ofSeconds(60);
    private static final int PRESSES = 600;
    private static final int MISHAPS = 20;
    private static final int[] KEYS = {DeskRig.LEFT, DeskRig.MIDDLE, DeskRig.RIGHT};
    private static final String[] ANGLES = {"wide", "wheel", "hands", "glaze"};

    private static final String CONFIGURATION = """
            instep: 1
            timecode: { rate: 25 }
            desk: { port: %d }
            gear:
              mixer:
                tcp: "127.0.0.1:9701"
                line-end: crlf
                stale-after: 60s
                replies: [{ line: "^ONAIR (?<angle>[0-9])$", on-air: { "1": wide, "2": wheel, "3": hands, "4": glaze } }]
              second: { tcp: "127.0.0.1:9702", line-end: crlf, stale-after: 50ms }
              recorder:
                http: "http://127.0.0.1:9703"
                replies: [{ pointer: /mode, equals: record, rolling: true }, { pointer: /mode, equals: stop, rolling: false }]
              lamp: { osc: "udp 127.0.0.1:9704" }
            angles:
              wide:  { reel: WIDE,  cut: [{ mixer: "CUT 1" }, { second: "CUT 1" }, { lamp: { osc: /lamp/wide } }] }
              wheel: { reel: WHEEL, cut: [{ mixer: "CUT 2" }, { second: "CUT 2" }, { lamp: { osc: /lamp/wheel } }] }
              hands: { reel: HANDS, cut: [{ mixer: "CUT 3" }, { second: "CUT 3" }, { lamp: { osc: /lamp/hands } }] }
              glaze: { reel: GLAZE, cut: [{ mixer: "CUT 4" }, { second: "CUT 4" }, { lamp: { osc: /lamp/glaze } }] }
            messages:
              roll: [{ mixer: "ROLL {take}" }, { recorder: { put: /transport, json: { mode: record, take: "{take}" } } }]
              stop: [{ mixer: "STOP {take}" }, { recorder: { put: /transport, json: { mode: stop, take: "{take}" } } }]
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

    private final Random random;
    private final int port;
    private final SoakDesk desk;
    private final SoakGear gear;
    private final SoakViewer viewer;
    private final SoakJournal journal;
    private final SoakBooks books;
    private int count;
    private long kills;
    private boolean diskIsFull;
    private boolean isRisky;

    SoakDay(long seed, int port, SoakDesk desk, SoakGear gear, SoakViewer viewer, SoakJournal journal) {
        random = new Random(seed);
        this.port = port;
        this.desk = desk;
        this.gear = gear;
        this.viewer = viewer;
        this.journal = journal;
        books = new SoakBooks(gear, journal);
    }

    /** The mapping of an ordinary day, with the gear where nobody has put it yet. */
    static String configuration(int port) {
        return CONFIGURATION.formatted(port);
    }

    /** One day; on a risky one, the daemon may be killed. */
    void live(boolean risky) throws Exception {
        count++;
        isRisky = risky;
        for (int i = 0; i < PRESSES; i++) {
            step();
            if (random.nextInt(PRESSES / MISHAPS) == 0) {
                mishap();
            }
        }
        if (isRisky && kills == 0) {
            kill();
        }
        setDisk(false);
        goHome();
        byTheBook();
        lookBack();
    }

    long kills() {
        return kills;
    }

    String report() throws IOException {
        return "day " + count + ": " + desk.presses() + " presses, " + books + ", " + journal.count(Kind.CONFIG)
                + " configurations, " + kills + " kills";
    }

    /** A pedal goes down or up. */
    private void step() throws Exception {
        int key = KEYS[random.nextInt(KEYS.length)];
        desk.key(key, !desk.isDown(key));
        pass(1 + random.nextInt(random.nextInt(10) == 0 ? 40 : 10));
    }

    /** Feet take their time; the only wait here that nobody can be asked about. */
    private static void pass(int millis) {
        LockSupport.parkNanos(millis * 1_000_000L);
    }

    private void until(String what, Callable<Boolean> happened) {
        await(what).atMost(PATIENCE).until(happened);
    }

    private void mishap() throws Exception {
        switch (random.nextInt(12)) {
            case 0 -> gear.secondOff();
            case 1 -> gear.secondOffAndOn();
            case 2 -> desk.replug();
            case 3 -> save(good());
            case 4 -> save(bad());
            case 5 -> desk.setClock(clock());
            case 6 -> gear.recorderOffAndOn();
            case 7 -> gear.lampOffAndOn();
            case 8 -> gear.cutAtMixer(1 + random.nextInt(ANGLES.length));
            case 9 -> crowd();
            case 10 -> killIfRisky();
            default -> setDisk(!diskIsFull);
        }
    }

    private void setDisk(boolean full) throws IOException {
        diskIsFull = full;
        desk.order(full ? "disk full" : "disk back");
    }

    /** By some seconds, as a time server does, or by up to a day, as somebody does who mistypes; or right again. */
    private long clock() {
        return switch (random.nextInt(4)) {
            case 0 -> desk.clock() + TimeUnit.MILLISECONDS.toNanos(random.nextInt(20_000) - 10_000);
            case 1 -> TimeUnit.MINUTES.toNanos(random.nextInt(2 * 26 * 60) - 26 * 60);
            default -> 0;
        };
    }

    /** Many come at once, of whom no one behaves. */
    private void crowd() throws IOException {
        Crowd.Asks[] all = Crowd.Asks.values();
        try (Crowd crowd = new Crowd(port, all[random.nextInt(all.length)])) {
            for (int i = 0; i < 20; i++) {
                crowd.push();
                step();
            }
        } catch (IOException e) {
            throw e;
        } catch (Exception e) {
            throw new IOException(e);
        }
    }

    private String good() {
        String yaml = configuration(port);
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
        return gear.placed(yaml);
    }

    private String bad() {
        return random.nextBoolean() ? good().substring(0, 900) : good().replace("angle: wide", "angle: wied");
    }

    private void save(String yaml) throws IOException {
        if (random.nextBoolean()) {
            Path other = Files.writeString(desk.file.resolveSibling("new.yaml"), yaml);
            Files.move(other, desk.file, StandardCopyOption.REPLACE_EXISTING);
        } else {
            Files.writeString(desk.file, yaml);
        }
    }

    private void killIfRisky() throws Exception {
        if (isRisky) {
            kill();
        }
    }

    /** In the middle of whatever it does, and back again, where it must stand as it stood or say why it does not. */
    private void kill() throws Exception {
        boolean isJournalUp = viewer.get("/metrics").contains("\ninstep_journal_up 1\n");
        desk.kill();
        kills++;
        gear.runIsOver();
        boolean wasOpen = journal.isTakeOpen();
        long take = wasOpen ? journal.latest(Kind.TAKE_OPEN).number(Key.TAKE).orElse(-1) : -1;
        // Where the disk is back, what was kept in memory is on it a second later.
        books.killed(!isJournalUp || diskIsFull);
        if (random.nextInt(4) == 0) {
            SoakTest.holdsInAReplay(desk.folder, desk.folder.resolveSibling("again"));
        }
        diskIsFull = false;
        long visits = viewer.visits();
        desk.start();
        until(
                "the page is there again",
                () -> viewer.visits() > visits && viewer.troubles("floor").isEmpty());
        if (wasOpen) {
            String open = "take " + take + " was open";
            until(
                    "it says what becomes of the take",
                    () -> journal.tells(Kind.NOTE, text -> text.startsWith(open))
                            || journal.tells(Kind.FAULT, text -> text.startsWith(open) && hasReason(text)));
            until("the page says whether a take is open", () -> viewer.isTakeOpen() == journal.isTakeOpen());
        }
        if (journal.isTakeOpen()) {
            until(
                    "the mixer shows what the page does",
                    () -> gear.lastCut().map(angle -> ANGLES[angle - 1]).equals(Optional.of(viewer.angle())));
        }
    }

    /** What may keep a take from going on here: an end that has come too often, or another mapping. A clock that was set is no reason. */
    private static boolean hasReason(String text) {
        return text.contains("times already") || text.contains("none of the states");
    }

    /** Feet off, gear on, the take over, and the good configuration in force. */
    private void goHome() throws Exception {
        gear.secondOffAndOn();
        for (int key : KEYS) {
            if (desk.isDown(key)) {
                desk.key(key, false);
            }
        }
        pass(20);
        save(gear.placed(configuration(port)) + "# " + count + "\n");
        // What the feet did last may still be on its way, and begin a take.
        until("the mapping of the evening is in force", () -> isInForce("# " + count + "\n") || endTake());
        await().atMost(PATIENCE)
                .untilAsserted(() -> assertThat(viewer.troubles("mixer", "second", "lamp", "floor"))
                        .isEmpty());
    }

    private boolean isInForce(String end) throws IOException {
        return journal.latest(Kind.CONFIG).text(Key.TEXT).orElse("").endsWith(end);
    }

    /** If one is open; what follows from it is still to be waited for. */
    private boolean endTake() throws IOException {
        return journal.isTakeOpen() && holdRight();
    }

    /** A short lesson that must go by the book, whatever the day was like. */
    private void byTheBook() throws Exception {
        int before = gear.mixer().count();
        long closed = journal.count(Kind.TAKE_CLOSE);
        holdRight();
        until("the take begins", () -> gear.mixer().count() == before + 2 && isOnAir("wide"));
        desk.key(DeskRig.LEFT, true);
        until("the wheel is on air", () -> gear.mixer().count() == before + 3 && isOnAir("wheel"));
        desk.key(DeskRig.LEFT, false);
        until("the take is at home again", () -> gear.mixer().count() == before + 4 && isOnAir("wide"));
        holdRight();
        until(
                "the take is over",
                () -> gear.mixer().count() == before + 5 && journal.count(Kind.TAKE_CLOSE) == closed + 1);
        long take = journal.latest(Kind.TAKE_OPEN).number(Key.TAKE).orElse(-1);
        until("the page says so", () -> !viewer.isTakeOpen() && viewer.take() == take);
        until("the recorder was told so", () -> gear.hasStopped(take));
    }

    private boolean isOnAir(String angle) {
        return viewer.isTakeOpen() && viewer.angle().equals(angle);
    }

    private boolean holdRight() throws IOException {
        long held = journal.count(Kind.GESTURE);
        desk.key(DeskRig.RIGHT, true);
        until("the hold is heard", () -> journal.count(Kind.GESTURE) > held);
        pass(25);
        desk.key(DeskRig.RIGHT, false);
        pass(25);
        return false;
    }

    private void lookBack() throws IOException {
        await().atMost(PATIENCE)
                .untilAsserted(() -> assertThat(viewer.get("/health")).isEqualTo("all is well"));
        List<Entry> day = books.close();
        Entry last = journal.latest(Kind.TAKE_OPEN);
        Duration set =
                Duration.between(Instant.now().plusNanos(desk.clock() + last.mono() - System.nanoTime()), last.time());
        assertThat(set.abs()).as("the time of %s", last).isLessThan(Duration.ofSeconds(1));
        assertThat(day).noneMatch(entry -> entry.number(Key.GAP).isPresent());
        assertThat(viewer.get("/metrics"))
                .containsPattern(
                        Pattern.compile("^instep_takes_total " + journal.takesOfThisRun() + "$", Pattern.MULTILINE));
    }
}
