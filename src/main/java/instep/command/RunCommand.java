package instep.command;

import instep.config.ConfigException;
import instep.config.Settings;
import instep.daemon.Daemon;
import instep.daemon.Exit;
import instep.daemon.HostTime;
import instep.daemon.LastGood;
import instep.daemon.Loop;
import instep.daemon.Version;
import instep.desk.DeskSettings;
import instep.host.NotifySocket;
import instep.input.Performance;
import instep.input.PerformanceException;
import instep.journal.JournalException;
import instep.journal.ServiceOutput;
import java.nio.file.Path;
import java.util.List;
import java.util.Optional;
import java.util.concurrent.Callable;
import java.util.concurrent.CompletableFuture;
import java.util.concurrent.ExecutionException;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.TimeoutException;
import java.util.concurrent.atomic.AtomicBoolean;
import org.jspecify.annotations.Nullable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Option;

/** {@code run}: the service itself, until it is told to stop. */
@Command(
        name = "run",
        description = "Reads the pedals and commands the gear until it is stopped (Ctrl-C or SIGTERM).",
        mixinStandardHelpOptions = true,
        sortOptions = false,
        footerHeading = "%nExample:%n",
        footer = {
            "  instep run /etc/instep/pottery.yaml",
            "  instep run mapping.yaml studio.yaml    with this studio's own addresses",
            Exit.CODES
        })
public final class RunCommand implements Callable<Integer> {
    private static final long STARTING_SECONDS = 5;

    @Mixin
    private ConfigFiles config;

    @Option(
            names = "--journal",
            paramLabel = "DIR",
            description = "Where the journal and the event log are kept (else as the configuration says, else"
                    + " $$STATE_DIRECTORY, else ~/.local/state/instep).")
    private @Nullable Path journal;

    @Option(
            names = "--performance",
            paramLabel = "FILE",
            description = "Plays recorded edges in place of all devices, then stops.")
    private @Nullable Path performance;

    public RunCommand() {
        config = new ConfigFiles();
    }

    public RunCommand(List<String> config) {
        this.config = new ConfigFiles(config.stream().map(Path::of).toList());
    }

    @Override
    public Integer call() {
        ServiceOutput.markErrors();
        CompletableFuture<Boolean> loading = Loop.load();
        // By hand, in a terminal, somebody is there to mend the file at once, and a start with another would only
        // confuse.
        Optional<LastGood> kept = NotifySocket.isNamed(System.getenv()) && performance == null
                ? Optional.of(LastGood.in(StateFolder.of(journal, null), config.files()))
                : Optional.empty();
        try {
            Found found = found(kept);
            Settings settings = found.settings();
            Optional<Performance> instead =
                    performance == null ? Optional.empty() : Optional.of(Performance.read(performance));
            Path folder = StateFolder.of(journal, settings.journal().folder());
            if (kept.isPresent() && found.standIn().isEmpty()) {
                Optional<Settings> before = kept.get().ofBrokenTake(settings, folder, HostTime.now());
                found = new Found(before.orElse(settings), Optional.empty());
            }
            loading.join();
            return run(found, config.files(), kept, new Daemon.Options(folder, 1, instead, true));
        } catch (ConfigException e) {
            String first = e.faults().get(0).toString();
            NotifySocket.of(System.getenv()).ifPresent(service -> service.status("not started: " + first));
            return Faults.tell(e);
        } catch (PerformanceException e) {
            System.err.println(e.getMessage());
            return Exit.WRONG;
        } catch (JournalException e) {
            System.err.println("instep: " + e.getMessage());
            return Exit.FAILED;
        }
    }

    /** What to run with: what the files hold, or what stands in for it. */
    private record Found(Settings settings, Optional<LastGood.StandIn> standIn) {}

    private Found found(Optional<LastGood> kept) throws ConfigException {
        try {
            return new Found(config.read(), Optional.empty());
        } catch (ConfigException e) {
            LastGood.StandIn standIn = kept.flatMap(good -> good.standIn(e)).orElseThrow(() -> e);
            return new Found(standIn.settings(), Optional.of(standIn));
        }
    }

    @SuppressWarnings("FutureReturnValueIgnored") // a reload that nobody waits for
    private static int run(Found found, List<Path> files, Optional<LastGood> kept, Daemon.Options options)
            throws JournalException, PerformanceException {
        // Whatever ends a thread that nobody watches, such as memory that has run out, ends the program; a clean start
        // is better.
        Thread.setDefaultUncaughtExceptionHandler((thread, fault) -> Loop.crash(fault));
        CompletableFuture<Daemon> running = new CompletableFuture<>();
        AtomicBoolean ended = new AtomicBoolean();
        Runtime.getRuntime().addShutdownHook(new Thread(() -> stop(running, ended), "instep-stop"));
        try {
            boolean follows = options.instead().isEmpty();
            // Before anybody is told that it is ready: from then on SIGHUP may come, and must not end it.
            if (follows && !HangUp.heard(() -> running.thenAccept(Daemon::reload))) {
                System.err.println("instep: SIGHUP will not be heard: start it without nohup, and Java without -Xrs");
            }
            Daemon daemon = Daemon.start(found.settings(), options);
            if (follows) {
                daemon.follow(files, kept, found.standIn());
            }
            NotifySocket.of(System.getenv()).ifPresent(daemon::reportTo);
            running.complete(daemon);
            System.out.println("instep " + Version.NUMBER + " is ready; the journal is in " + options.folder());
            daemon.page()
                    .ifPresent(page -> System.out.println("the desk page is at " + page
                            + others(found.settings().desk())));
            daemon.performed().join();
            return Exit.FINE;
        } finally {
            ended.set(true);
            running.completeExceptionally(new IllegalStateException("never started"));
        }
    }

    private static String others(@Nullable DeskSettings desk) {
        return desk != null && desk.isEverywhere() ? " and at every other address of this machine" : "";
    }

    /** Told to stop, also while still starting: an orderly end is no failure, whatever signal asked for it. */
    private static void stop(CompletableFuture<Daemon> running, AtomicBoolean ended) {
        boolean told = !ended.get();
        try {
            running.get(STARTING_SECONDS, TimeUnit.SECONDS).close("stopped");
        } catch (ExecutionException | TimeoutException e) {
            return;
        } catch (InterruptedException e) {
            Thread.currentThread().interrupt();
            return;
        }
        if (told) {
            Runtime.getRuntime().halt(Exit.FINE);
        }
    }
}
