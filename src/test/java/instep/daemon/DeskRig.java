package instep.daemon;

import static org.awaitility.Awaitility.await;

import instep.clock.WallClock;
import instep.config.ConfigReader;
import instep.config.Settings;
import instep.demo.Stage;
import instep.demo.StandIn;
import instep.gear.GearSettings;
import instep.input.KeyPipe;
import instep.journal.Disk;
import instep.journal.Entry;
import instep.journal.Key;
import instep.journal.Kind;
import instep.rehearsal.Collected;
import instep.rehearsal.Decision;
import instep.rehearsal.RecordedRun;
import instep.rehearsal.Replay;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.regex.Pattern;

/** A whole daemon on a configuration file, with stand-ins for the gear and a pipe for the pedals: feet, a pencil and ears for tests. */
final class DeskRig implements AutoCloseable {
    static final int LEFT = 30;
    static final int MIDDLE = 48;
    static final int RIGHT = 46;

    static final String CONFIGURATION = """
            instep: 1
            timecode: { rate: 25 }
            gear:
              mixer: { tcp: "127.0.0.1:9701", line-end: crlf, stale-after: 60s }
              lamp: { osc: "udp 127.0.0.1:9703" }
            angles:
              wide:  { reel: WIDE,  cut: { mixer: "CUT 1" } }
              wheel: { reel: WHEEL, cut: { mixer: "CUT 2" } }
              hands: { reel: HANDS, cut: { mixer: "CUT 3" } }
              glaze: { reel: GLAZE, cut: { mixer: "CUT 4" } }
            messages:
              stop: { lamp: { osc: /lamp/off } }
            pedals:
              floor: { match: { usb: "0000:0000" }, contacts: { left: KEY_A, middle: KEY_B, right: KEY_C } }
            timing: { debounce: 1ms, hold: 40ms, double-tap: 30ms }
            data: { iris: { initial: 4, min: 0, max: 9 } }
            machine:
              initial: standby
              states:
                standby: { on: { right.press: rolling } }
                rolling:
                  rolling: true
                  angle: wide
                  onexit: { send: stop }
                  on:
                    left.press: { angle: wheel, until: left.release }
                    middle.press: { angle: hands, set: { iris: +1 } }
                    right.press: standby
            """;

    private static final Pattern ADDRESS = Pattern.compile("[0-9]+[.][0-9.]+:(970\\d)");
    private static final Duration PATIENCE = Duration.ofSeconds(Integer.getInteger("patience", 30));

    final Path file;
    final Path folder;
    private final List<String> gears;
    private final Stage stage;
    private final Daemon daemon;
    private final KeyPipe keys;
    private boolean hasEnded;

    private DeskRig(Path file, List<String> gears, Path folder, Stage stage, Daemon daemon, KeyPipe keys) {
        this.file = file;
        this.gears = gears;
        this.folder = folder;
        this.stage = stage;
        this.daemon = daemon;
        this.keys = keys;
    }

    /** With that configuration in a file, which it follows; the gear's addresses are put in place. */
    static DeskRig open(Path work, String yaml) throws Exception {
        return open(work, yaml, Disk.REAL);
    }

    /** The same on another disk. */
    static DeskRig open(Path work, String yaml, Disk disk) throws Exception {
        return open(work, yaml, new Daemon.Surroundings(disk, WallClock.ofSystem()));
    }

    /** The same on another machine. */
    static DeskRig open(Path work, String yaml, Daemon.Surroundings around) throws Exception {
        Path config = Files.createDirectories(work.resolve("etc")).resolve("pottery.yaml");
        Path folder = work.resolve("live");
        Stage stage = Stage.open(ConfigReader.parse("pottery.yaml", yaml).gear());
        Files.writeString(config, placed(yaml, stage));
        Settings settings = ConfigReader.read(config);
        Daemon daemon = Daemon.start(settings, new Daemon.Options(folder, 1, Optional.empty(), false), around);
        KeyPipe keys = KeyPipe.open();
        daemon.attach(0, keys.readEnd());
        daemon.follow(List.of(config));
        List<String> gears = settings.gear().stream().map(GearSettings::name).toList();
        return new DeskRig(config, gears, folder, stage, daemon, keys);
    }

    /** Wherever the gear is in the file: it is on this machine, in the same order. */
    private static String placed(String yaml, Stage stage) {
        List<String> ports = new ArrayList<>();
        return ADDRESS.matcher(yaml).replaceAll(address -> {
            if (!ports.contains(address.group(1))) {
                ports.add(address.group(1));
            }
            return "127.0.0.1:"
                    + stage.standIns().get(ports.indexOf(address.group(1))).port();
        });
    }

    String placed(String yaml) {
        return placed(yaml, stage);
    }

    /** As an editor does that is careful: another file in its place. */
    void save(String yaml) throws IOException {
        Path other = Files.writeString(file.resolveSibling(".pottery.yaml.new"), placed(yaml));
        Files.move(other, file, java.nio.file.StandardCopyOption.REPLACE_EXISTING);
    }

    /** As if the kernel had told of it. */
    void clockSet() {
        daemon.clockSet();
    }

    void reload() {
        daemon.reload();
    }

    void key(int code, boolean closed) throws IOException {
        key(code, closed, 0);
    }

    /** The kernel saw it so long ago. */
    void key(int code, boolean closed, long nanosAgo) throws IOException {
        keys.key(code, closed, System.nanoTime() - nanosAgo);
    }

    /** Down and, when that has been seen, up again. */
    void press(int code) throws IOException {
        long before = count(Kind.EDGE);
        key(code, true);
        await().atMost(PATIENCE).until(() -> count(Kind.EDGE) > before);
        key(code, false);
        await().atMost(PATIENCE).until(() -> count(Kind.EDGE) > before + 1);
    }

    /** Down until that has led to something, and up again. */
    void hold(int code) throws IOException {
        long before = count(Kind.TRANSITION);
        long edges = count(Kind.EDGE);
        key(code, true);
        await().atMost(PATIENCE).until(() -> count(Kind.TRANSITION) > before);
        key(code, false);
        await().atMost(PATIENCE).until(() -> count(Kind.EDGE) > edges + 1);
    }

    /** Until the journal tells that this has put an angle on air last. */
    void standsOn(String act) {
        await().atMost(PATIENCE).until(() -> {
            List<Entry> all = entries(Kind.STANDING);
            String asked =
                    all.isEmpty() ? "" : all.get(all.size() - 1).text(Key.ASKED).orElse("");
            return asked.substring(asked.lastIndexOf('\n') + 1).startsWith(act);
        });
    }

    List<String> received(String gear) {
        return stage.standIns().get(gears.indexOf(gear)).received().stream()
                .map(StandIn.Heard::text)
                .toList();
    }

    void hears(String gear, String text, int times) {
        await().atMost(PATIENCE)
                .until(() -> received(gear).stream()
                                .filter(line -> line.contains(text))
                                .count()
                        >= times);
    }

    List<Entry> entries() throws IOException {
        return Collected.entries(folder);
    }

    List<Entry> entries(Kind kind) throws IOException {
        return entries().stream().filter(entry -> entry.kind() == kind).toList();
    }

    long count(Kind kind) throws IOException {
        return entries(kind).size();
    }

    void tells(Kind kind, int times) {
        await().atMost(PATIENCE).until(() -> count(kind) >= times);
    }

    /** Until a fault, a note or a configuration's record says so. */
    void says(String text) {
        await().atMost(PATIENCE)
                .until(() -> entries().stream()
                        .anyMatch(entry -> (entry.text(Key.TEXT).orElse("")
                                        + entry.text(Key.CHANGE).orElse(""))
                                .contains(text)));
    }

    /** Ends it, and plays its journal again: the decisions must be the same. */
    List<Decision> replayed() throws Exception {
        end();
        RecordedRun run = RecordedRun.read(folder, 0).orElseThrow();
        Path again = folder.resolveSibling("again");
        Replay.write(run, ConfigReader.parse("pottery.yaml", run.config().orElseThrow()), again, "it");
        return Collected.decisions(again);
    }

    List<Decision> decisions() throws IOException {
        return Collected.decisions(folder);
    }

    /** Ends it before the rig is closed. */
    void end() throws IOException {
        if (!hasEnded) {
            hasEnded = true;
            daemon.close("over");
            keys.close();
            stage.close();
        }
    }

    @Override
    public void close() throws IOException {
        end();
    }
}
