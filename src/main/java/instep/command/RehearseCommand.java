package instep.command;

import instep.config.ConfigException;
import instep.config.Settings;
import instep.daemon.Exit;
import instep.daemon.Floodgate;
import instep.daemon.Loop;
import instep.daemon.Player;
import instep.daemon.Switchboard;
import instep.input.Devices;
import instep.input.InputListener;
import instep.input.PerformanceException;
import instep.rehearsal.Keyboard;
import instep.rehearsal.Rehearsal;
import instep.rehearsal.Scenario;
import instep.rehearsal.Verdict;
import java.io.BufferedReader;
import java.io.IOException;
import java.io.InputStreamReader;
import java.nio.charset.Charset;
import java.nio.file.Path;
import java.util.List;
import java.util.Optional;
import java.util.concurrent.Callable;
import java.util.concurrent.CompletableFuture;
import java.util.concurrent.CountDownLatch;
import java.util.concurrent.TimeUnit;
import org.jspecify.annotations.Nullable;
import picocli.CommandLine.ArgGroup;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Option;

/** {@code rehearse}: the machine without its gear. */
@Command(
        name = "rehearse",
        description = {
            "Shows what each gesture would do and tells no gear anything: with your pedals, or else as an option says.",
            "With --expect it tests a mapping: it plays the edges of a scenario and compares what comes with what was expected."
        },
        mixinStandardHelpOptions = true,
        sortOptions = false,
        footerHeading = "%nExample:%n",
        footer = {
            "  instep rehearse pottery.yaml --keys",
            "  instep rehearse pottery.yaml --performance lesson.performance",
            "  instep rehearse pottery.yaml --expect pottery.scenario",
            Exit.CODES,
            "A scenario in which something else came than was expected has failed."
        })
public final class RehearseCommand implements Callable<Integer> {
    @Mixin
    private ConfigFiles config = new ConfigFiles();

    /** Where the edges come from, if not from pedals. */
    static final class Source {
        @Option(names = "--keys", description = "Digits typed here in place of pedals.")
        private boolean keys;

        @Option(
                names = "--performance",
                paramLabel = "FILE",
                description = "Recorded edges in place of pedals, all at once and without waiting.")
        private @Nullable Path performance;

        @Option(
                names = "--expect",
                paramLabel = "SCENARIO",
                arity = "1..*",
                description = "Files with edges and what they should lead to.")
        private List<Path> scenarios = List.of();
    }

    @ArgGroup
    private Source source = new Source();

    @Override
    public Integer call() throws IOException, InterruptedException {
        try {
            Settings settings = config.read();
            if (!source.scenarios.isEmpty()) {
                return expect(settings, source.scenarios);
            } else if (source.performance != null) {
                Scenario.read(source.performance).play(settings, System.out::println);
            } else {
                live(settings);
            }
            return Exit.FINE;
        } catch (ConfigException e) {
            return Faults.tell(e);
        } catch (PerformanceException e) {
            System.err.println(e.getMessage());
            return Exit.WRONG;
        }
    }

    private static int expect(Settings settings, List<Path> files) throws PerformanceException {
        int passed = 0;
        int failed = 0;
        for (Path file : files) {
            Verdict verdict = Verdict.of(Scenario.read(file), settings);
            System.out.println(file);
            verdict.report().forEach(System.out::println);
            passed += verdict.passed();
            failed += verdict.failed();
        }
        System.out.println(passed + " passed, " + failed + " failed");
        return failed == 0 ? Exit.FINE : Exit.FAILED;
    }

    private void live(Settings settings) throws IOException, InterruptedException, PerformanceException {
        List<Player> players = source.keys ? List.of() : Player.all(settings, Optional.empty());
        Loop loop = Loop.open(1);
        Rehearsal rehearsal = new Rehearsal(settings, loop, System.out::println);
        Switchboard switchboard = rehearsal.switchboard();
        InputListener pedals = switchboard.pedals();
        CompletableFuture.runAsync(rehearsal::begin, loop.eventLoop()).join();
        System.out.println("The machine is in " + rehearsal.where() + ".");
        try {
            if (source.keys) {
                type(new Keyboard(settings.contacts(), loop, pedals));
                return;
            }
            System.out.println("Press your pedals; no gear is told anything. Ctrl-C ends.");
            try (Devices devices =
                    new Devices(loop.eventLoop(), settings.pedals(), Floodgate.before(pedals, settings))) {
                devices.start();
                loop.eventLoop().execute(() -> play(players, loop, switchboard));
                new CountDownLatch(1).await();
            }
        } finally {
            loop.close();
        }
    }

    private static void play(List<Player> players, Loop loop, Switchboard switchboard) {
        players.forEach(switchboard.pedals()::listenTo);
        players.forEach(player -> player.begin(loop, switchboard::settle));
    }

    private static void type(Keyboard keyboard) throws IOException, InterruptedException {
        System.out.println(keyboard.legend());
        BufferedReader in = new BufferedReader(new InputStreamReader(System.in, Charset.defaultCharset()));
        for (String line = in.readLine(); line != null; line = in.readLine()) {
            String wrong = keyboard.type(line);
            if (!wrong.isEmpty()) {
                System.out.println(wrong);
            }
        }
        // What was typed last may still lead to something.
        TimeUnit.NANOSECONDS.sleep(Player.TAIL_NANOS);
    }
}
