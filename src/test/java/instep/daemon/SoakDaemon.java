package instep.daemon;

import instep.clock.Boot;
import instep.clock.WallClock;
import instep.command.Quiet;
import instep.config.ConfigException;
import instep.config.ConfigReader;
import instep.config.Settings;
import java.io.BufferedReader;
import java.io.IOException;
import java.io.InputStreamReader;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.time.Instant;
import java.util.List;
import java.util.Optional;

/**
 * The daemon of a soak: a process of its own, so that it can be killed and what it uses can be measured. It follows its configuration file as the service does, and is told on standard input
 * what happens to its machine: {@code plug} a pedal in, {@code clock} by so many nanoseconds from the true time, {@code disk full} and {@code disk back}, {@code collect} garbage, {@code end}.
 */
final class SoakDaemon {
    private final Daemon daemon;
    private final String fifo;
    private final StudioClock clock;
    private final FillingDisk disk;

    private SoakDaemon(Daemon daemon, String fifo, StudioClock clock, FillingDisk disk) {
        this.daemon = daemon;
        this.fifo = fifo;
        this.clock = clock;
        this.disk = disk;
    }

    /** This machine's clock, if somebody had set it. */
    private static final class StudioClock {
        private volatile long set;

        long nanos() {
            Instant now = Instant.now();
            return now.getEpochSecond() * 1_000_000_000L + now.getNano() + set;
        }
    }

    /** The journal's folder, the configuration file, the pipe in place of a pedal, and by how much the clock is set. */
    public static void main(String[] args) throws Exception {
        Thread.setDefaultUncaughtExceptionHandler((thread, fault) -> Loop.crash(fault));
        Quiet.libraries();
        Path folder = Path.of(args[0]);
        List<Path> files = List.of(Path.of(args[1]));
        StudioClock clock = new StudioClock();
        clock.set = Long.parseLong(args[3]);
        FillingDisk disk = new FillingDisk();
        LastGood kept = LastGood.in(folder, files);
        Optional<LastGood.StandIn> standIn = Optional.empty();
        Settings settings;
        try {
            Settings found = ConfigReader.read(files);
            settings = kept.ofBrokenTake(
                            found,
                            folder,
                            new HostTime(Instant.EPOCH.plusNanos(clock.nanos()), System.nanoTime(), Boot.id()))
                    .orElse(found);
        } catch (ConfigException e) {
            standIn = kept.standIn(e);
            settings = standIn.orElseThrow(() -> e).settings();
        }
        Daemon daemon = Daemon.start(
                settings,
                new Daemon.Options(folder, 1, Optional.empty(), false),
                new Daemon.Surroundings(disk, new WallClock(System::nanoTime, clock::nanos)));
        daemon.follow(files, Optional.of(kept), standIn);
        new SoakDaemon(daemon, args[2], clock, disk).obey();
    }

    private void obey() throws IOException {
        BufferedReader orders = new BufferedReader(new InputStreamReader(System.in, StandardCharsets.UTF_8));
        System.out.println("ready");
        String order = orders.readLine();
        while (order != null && !order.equals("end")) {
            System.out.println(obey(order));
            order = orders.readLine();
        }
        daemon.close("the soak is over");
        System.out.println("done");
    }

    private String obey(String order) {
        if (order.startsWith("clock ")) {
            clock.set = Long.parseLong(order.substring("clock ".length()));
            daemon.clockSet();
            return "done";
        }
        return switch (order) {
            case "plug" -> plug();
            case "disk full", "disk back" -> {
                disk.full(order.endsWith("full"));
                yield "done";
            }
            case "collect" -> collected();
            default -> throw new IllegalArgumentException(order);
        };
    }

    /** Not before the daemon knows that the one before is gone. */
    private String plug() {
        try {
            daemon.attach(0, LatencyRig.open(fifo));
            return "done";
        } catch (IOException | IllegalArgumentException e) {
            return "not yet: " + e.getMessage();
        }
    }

    private static String collected() {
        for (int i = 0; i < 3; i++) {
            System.gc();
        }
        Runtime java = Runtime.getRuntime();
        return String.valueOf(java.totalMemory() - java.freeMemory());
    }
}
