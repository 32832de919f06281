package instep.command;

import instep.after.ShotTable;
import instep.config.ConfigException;
import instep.config.ConfigReader;
import instep.config.Settings;
import instep.daemon.Daemon;
import instep.daemon.Exit;
import instep.demo.Stage;
import instep.desk.DeskSettings;
import instep.input.Performance;
import instep.input.PerformanceException;
import instep.journal.JournalException;
import instep.journal.JournalFolder;
import java.io.IOException;
import java.io.InputStream;
import java.net.InetAddress;
import java.net.InetSocketAddress;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Optional;
import java.util.concurrent.Callable;
import org.jspecify.annotations.Nullable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Model.CommandSpec;
import picocli.CommandLine.Option;
import picocli.CommandLine.ParameterException;
import picocli.CommandLine.Spec;

/** {@code demo}: the very same daemon over stand-ins for the gear, fed with a recorded lesson. */
@Command(
        name = "demo",
        description = {
            "Plays a pottery lesson: starts stand-ins for a mixer, a recorder and a lamp on this machine, runs the daemon"
                    + " on the example configuration with their addresses filled in, plays recorded pedals, and shows the cuts.",
            "No hardware is needed, and nothing leaves this machine."
        },
        mixinStandardHelpOptions = true,
        sortOptions = false,
        footerHeading = "%nExample:%n",
        footer = {
            "  instep demo --speed 10",
            "  instep demo --desk 9780                with the desk page at http://127.0.0.1:9780/",
            "  instep demo --config my-mapping.yaml    the same lesson with a mapping of your own",
            Exit.CODES
        })
public final class DemoCommand implements Callable<Integer> {
    private static final String EXAMPLE = "config-examples/pottery.yaml";
    private static final String LESSON = "config-examples/pottery.performance";
    private static final double FASTEST = 100;
    private static final int HIGHEST_PORT = 65_535;

    @Option(
            names = "--speed",
            paramLabel = "N",
            defaultValue = "1",
            description = "So many times faster than life, up to 100 (default ${DEFAULT-VALUE}).")
    private double speed;

    @Option(
            names = "--config",
            paramLabel = "FILE",
            description = "A configuration in place of " + EXAMPLE
                    + "; only its gear's addresses are replaced. Given again: another file that lies over it.")
    private @Nullable List<Path> config;

    @Option(names = "--performance", paramLabel = "FILE", description = "Recorded edges in place of " + LESSON + ".")
    private @Nullable Path performance;

    @Option(
            names = "--journal",
            paramLabel = "DIR",
            description = "Where to keep the journal (default: a new folder for temporary files).")
    private @Nullable Path journal;

    @Option(
            names = "--desk",
            paramLabel = "PORT",
            description =
                    "Shows the desk page at this port of this machine, for a browser on it (0: any that is free).")
    private @Nullable Integer desk;

    @Spec
    private CommandSpec spec = CommandSpec.create();

    @Override
    public Integer call() throws IOException {
        if (desk != null && (desk < 0 || desk > HIGHEST_PORT)) {
            throw new ParameterException(spec.commandLine(), "--desk takes a port from 0 to 65535");
        }
        if (!(speed >= 0.1 && speed <= FASTEST)) {
            throw new ParameterException(spec.commandLine(), "--speed goes from 0.1 to 100");
        }
        if (journal != null
                && Files.isDirectory(journal)
                && !JournalFolder.journals(journal).isEmpty()) {
            System.err.println("instep: " + journal
                    + " holds a journal, of which this lesson would become another take: name an empty folder");
            return Exit.WRONG;
        }
        try {
            Settings settings =
                    config == null ? ConfigReader.parse(EXAMPLE, resource(EXAMPLE)) : ConfigReader.read(config);
            Performance lesson =
                    performance == null ? Performance.parse(LESSON, resource(LESSON)) : Performance.read(performance);
            play(settings, lesson);
            return Exit.FINE;
        } catch (ConfigException e) {
            return Faults.tell(e);
        } catch (PerformanceException e) {
            System.err.println(e.getMessage());
            if (performance == null) {
                System.err.println(
                        "The demo's own lesson is for pedals named left, middle and right: name one for yours with"
                                + " --performance FILE; identify --record FILE writes one");
            }
            return Exit.WRONG;
        } catch (JournalException e) {
            System.err.println("instep: " + e.getMessage());
            return Exit.FAILED;
        }
    }

    private void play(Settings settings, Performance lesson)
            throws IOException, JournalException, PerformanceException {
        Path folder = journal == null ? Files.createTempDirectory("instep-demo-") : journal;
        try (Stage stage = Stage.open(settings.gear())) {
            stage.lines().forEach(System.out::println);
            System.out.println();
            Settings onStage = settings.withGear(stage.gear()).withDesk(page());
            Daemon.Options options = new Daemon.Options(folder, speed, Optional.of(lesson), true);
            Daemon daemon = Daemon.start(onStage, options);
            daemon.page().ifPresent(page -> System.out.println("the desk page is at " + page));
            daemon.performed().join();
            daemon.close("the performance is over");
        }
        ShotTable.print(folder, System.out);
        System.out.println("The journal is in " + folder);
    }

    private @Nullable DeskSettings page() {
        return desk == null
                ? null
                : new DeskSettings(new InetSocketAddress(InetAddress.getLoopbackAddress(), desk), List.of(), null);
    }

    private static String resource(String name) throws IOException {
        try (InputStream in = DemoCommand.class.getClassLoader().getResourceAsStream(name)) {
            if (in == null) {
                throw new IllegalStateException(name + " is not in this jar");
            }
            return new String(in.readAllBytes(), StandardCharsets.UTF_8);
        }
    }
}
