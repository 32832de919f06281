package instep.daemon;

import instep.config.Settings;
import instep.config.TimecodeSettings;
import instep.gear.GearSettings;
import instep.gear.Rack;
import instep.host.NotifySocket;
import instep.input.Devices;
import instep.input.PedalSettings;
import instep.input.Ports;
import instep.journal.Happening;
import java.io.IOException;
import java.util.List;
import java.util.Optional;

/**
 * The desk that is running: the configuration in force, the switchboard that goes by it, and what reaches that switchboard. When another configuration takes its place, so does another
 * switchboard, and devices, gear and timecode that stay go on to it. Loop thread only, but where it says otherwise.
 */
final class RunningDesk implements Reloading.Desk {
    private final Loop loop;
    /** Empty as {@link #devices}, in place of which edges are played. */
    private final Optional<Ports> ports;

    private final DeskWatch watch;
    private final Optional<Devices> devices;
    private final Optional<TimecodePort> timecode;
    private Optional<LifeSigns> lifeSigns = Optional.empty();
    private List<Player> players = List.of();

    /** These change on the loop, when a configuration takes the place of another. */
    private volatile Settings settings;

    private volatile Switchboard switchboard;
    private Floodgate floodgate;

    /**
     * Nothing of it has begun yet; from any thread.
     *
     * @param ports where devices are; empty if edges are played in their place
     * @param watch who is told of a configuration before it comes into force
     */
    RunningDesk(Settings settings, Chronicle chronicle, Loop loop, Optional<Ports> ports, DeskWatch watch) {
        this.settings = settings;
        this.loop = loop;
        this.ports = ports;
        this.watch = watch;
        switchboard = new Switchboard(
                settings,
                chronicle,
                loop,
                listener -> new Rack(loop.eventLoop(), gear(settings), settings.listening(), listener));
        timecode = port(settings);
        floodgate = Floodgate.before(switchboard.pedals(), settings);
        devices = ports.map(known -> new Devices(loop.eventLoop(), settings.pedals(), floodgate, known));
    }

    private List<GearSettings> gear(Settings of) {
        return ports.map(known -> Lamps.of(of, known)).orElse(of.gear());
    }

    /** Where time runs faster, and on a loop that reads no descriptors, nothing comes in. */
    private Optional<TimecodePort> port(Settings read) {
        TimecodeSettings from = read.timecode();
        if (loop.speed() != 1 || !loop.readsDevices()) {
            return Optional.empty();
        }
        if (from.ltc() != null) {
            return Optional.of(new LtcPort(from.rate(), from.ltc(), loop, this::switchboard));
        } else if (from.midi() != null) {
            return Optional.of(new MtcPort(from.rate(), from.midi(), loop, this::switchboard));
        } else if (from.reported() != null) {
            return Optional.of(new GearPort(read, from.reported(), loop, this::switchboard));
        }
        return Optional.empty();
    }

    /** Starts the machine as the run before this one left it, and lets timecode in; devices come after it. */
    void begin(Continuation continuation, long record, long now) {
        continuation.begin(settings, switchboard, record, now);
        timecode.ifPresent(TimecodePort::start);
    }

    /** Lets the devices in. From any thread but the loop's. */
    void startDevices() {
        devices.ifPresent(Devices::start);
    }

    /** Whether any pedal is read from a device. From any thread. */
    boolean hasDevices() {
        return devices.isPresent()
                && settings.pedals().stream().anyMatch(pedal -> !(pedal instanceof PedalSettings.Performed));
    }

    /** Reads a descriptor in place of a pedal's device, for rigs: see {@link Devices#attach}. */
    void attach(int pedal, int descriptor) throws IOException {
        devices.orElseThrow().attach(pedal, descriptor);
    }

    /** Begins with all that is to be performed. */
    void play(List<Player> all) {
        players = List.copyOf(all);
        players.forEach(switchboard.pedals()::listenTo);
        players.forEach(player -> player.begin(loop, due -> switchboard.settle(due)));
    }

    /** The service manager is told from now on that it lives and how it stands. */
    void reportTo(NotifySocket service) {
        LifeSigns signs =
                new LifeSigns(loop, switchboard, new Standing(settings, switchboard, watch::standing), service);
        watch.tellFaults(() -> {
            if (!loop.eventLoop().isShuttingDown()) {
                loop.later(signs::look);
            }
        });
        signs.begin();
        lifeSigns = Optional.of(signs);
    }

    /** The service manager is told that it ends and why, and nothing more. */
    void reportEnd(String why) {
        lifeSigns.ifPresent(signs -> signs.end(why));
    }

    /** Nothing comes from devices any more. From any thread but the loop's. */
    void closeDevices() {
        devices.ifPresent(Devices::close);
    }

    /** Whether all that was said to gear has gone out. */
    boolean isQuiet() {
        return switchboard.gear().crew().isQuiet();
    }

    /** Lets timecode and the gear go, and writes down why. */
    void stop(String why) {
        timecode.ifPresent(TimecodePort::close);
        switchboard.stop(why);
    }

    private Rack rack() {
        return (Rack) switchboard.gear().crew();
    }

    /** From any thread. */
    @Override
    public Settings settings() {
        return settings;
    }

    @Override
    public Rack.Parts parts(Settings next) {
        return rack().partsFor(
                        gear(next), next.listening(), Kept.of(settings, next).gear());
    }

    /** From any thread. */
    @Override
    public Switchboard switchboard() {
        return switchboard;
    }

    @Override
    public void note(Happening what) {
        switchboard.note(what);
    }

    @Override
    public void begins() {
        lifeSigns.ifPresent(LifeSigns::reloading);
    }

    @Override
    public void ends() {
        lifeSigns.ifPresent(LifeSigns::reloaded);
    }

    @Override
    public void swap(Settings next, Rack.Parts parts) {
        Kept kept = Kept.of(settings, next);
        Rack before = rack();
        watch.comes(next);
        switchboard = switchboard.handOver(
                next, listener -> before.goOn(parts, next.listening(), kept.gear(), listener), loop.now());
        players.forEach(switchboard.pedals()::listenTo);
        settings = next;
        Floodgate gate = Floodgate.before(switchboard.pedals(), next);
        gate.goOnFrom(floodgate, kept.contacts());
        floodgate = gate;
        devices.ifPresent(some -> some.goOn(next.pedals(), kept.pedals(), gate));
        timecode.ifPresent(port -> port.goOn(next));
        lifeSigns.ifPresent(signs -> signs.goOn(switchboard, new Standing(next, switchboard, watch::standing)));
    }
}
