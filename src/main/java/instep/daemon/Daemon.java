package instep.daemon;

import instep.clock.KernelClock;
import instep.clock.WallClock;
import instep.config.Settings;
import instep.desk.DeskPage;
import instep.desk.DeskSettings;
import instep.host.NotifySocket;
import instep.input.ClockWatch;
import instep.input.Performance;
import instep.input.PerformanceException;
import instep.input.Ports;
import instep.journal.Disk;
import instep.journal.EventLog;
import instep.journal.Happening;
import instep.journal.Journal;
import instep.journal.JournalException;
import instep.journal.JournalSettings;
import instep.journal.RunStart;
import java.io.IOException;
import java.net.URI;
import java.nio.file.Path;
import java.time.Instant;
import java.util.List;
import java.util.Optional;
import java.util.concurrent.CompletableFuture;
import java.util.concurrent.TimeUnit;

/**
 * A running Instep: the loop and all that lives on it, the journal and the event log. Opening it starts it; closing it gives every device back and
 * leaves the journal whole. Its methods may be called from any thread but the loop's.
 */
public final class Daemon implements AutoCloseable {
    private static final long QUIET_MILLIS = 2_000;

    /**
     * How to run.
     *
     * @param folder of the journal and the event log
     * @param speed how many times faster than the clock time runs; 1 but for a demo
     * @param instead edges that are played in place of all devices, if any
     * @param toStandardOutput whether the event log is shown as well
     */
    public record Options(Path folder, double speed, Optional<Performance> instead, boolean toStandardOutput) {}

    /** What a daemon finds on its machine, or is given by a rig. */
    record Surroundings(Disk disk, WallClock clock) {
        /** Its own. */
        static Surroundings real() {
            return new Surroundings(Disk.REAL, WallClock.ofSystem());
        }
    }

    private final Loop loop;
    private final Optional<ClockWatch> clockWatch;
    /** Why the first press will be slow; empty if it will not. */
    private final Optional<String> cold;

    private final EventLog eventLog;
    private final Journal journal;
    private final DeskWatch watch;
    private final Chronicle chronicle;
    private final RunningDesk desk;
    private Optional<DeskPage> page = Optional.empty();
    private final CompletableFuture<Void> performed;
    private final LastRun lastRun;
    private final WallTime wall;
    private volatile Optional<Reloading> reloading = Optional.empty();

    private Daemon(Settings settings, Options options, List<Player> players, Surroundings around)
            throws JournalException {
        lastRun = LastRun.in(
                options.folder(), Instant.EPOCH.plusNanos(around.clock().wallAt(System.nanoTime())));
        loop = Loop.open(options.speed());
        eventLog = EventLog.open(options.folder(), options.toStandardOutput());
        wall = studio(around.clock());
        watch = new DeskWatch(settings, settings.desk() != null, loop::now);
        journal = Journal.open(
                JournalSettings.of(
                        options.folder(),
                        settings.timecode().rate(),
                        settings.journal().keeping()),
                wall::at,
                eventLog.andThen(watch),
                new DiskAlarm(watch, this::tellOfDisk),
                around.disk());
        cold = Warmup.run(loop);
        chronicle = Chronicle.of(journal, settings.timecode(), wall, loop.now());
        Optional<Ports> ports =
                options.instead().isPresent() ? Optional.empty() : Optional.of(Ports.in(options.folder()));
        desk = new RunningDesk(settings, chronicle, loop, ports, watch);
        clockWatch = loop.speed() == 1 && loop.readsDevices()
                ? Optional.of(new ClockWatch(loop.eventLoop(), this::tellClockSet))
                : Optional.empty();
        performed = players.isEmpty() || desk.hasDevices()
                ? new CompletableFuture<>()
                : CompletableFuture.allOf(players.stream().map(Player::played).toArray(CompletableFuture<?>[]::new));
    }

    /** Where time runs faster, so does the time of day, from the moment of opening. */
    private WallTime studio(WallClock clock) {
        SystemTime system = new SystemTime(clock, KernelClock::read);
        long opened = System.nanoTime();
        return loop.speed() == 1
                ? system
                : WallTime.of(system.zone(), nanos -> system.at(opened) + (nanos - loop.timeOf(opened)));
    }

    /** Opens and starts everything; what cannot be opened is closed again. */
    public static Daemon start(Settings settings, Options options) throws JournalException, PerformanceException {
        return start(settings, options, Surroundings.real());
    }

    static Daemon start(Settings settings, Options options, Surroundings around)
            throws JournalException, PerformanceException {
        List<Player> players = Player.all(settings, options.instead());
        Daemon daemon = new Daemon(settings, options, players, around);
        onLoop(daemon.loop, daemon::begin);
        daemon.showPage(settings);
        daemon.desk.startDevices();
        onLoop(daemon.loop, () -> daemon.desk.play(players));
        return daemon;
    }

    /**
     * Takes up changes of these files, which are those that the settings were read from, while it runs. A demo, whose time is another, does not.
     */
    public void follow(List<Path> files) {
        follow(files, Optional.empty(), Optional.empty());
    }

    /**
     * The same, and what is in force is kept for a start with faulty files.
     *
     * @param standIn what it was started with in their place; empty if with what they held
     */
    public void follow(List<Path> files, Optional<LastGood> kept, Optional<LastGood.StandIn> standIn) {
        if (loop.speed() == 1) {
            Reloading follower = new Reloading(loop, files, desk, kept);
            reloading = Optional.of(follower);
            onLoop(loop, () -> follower.start(standIn));
        }
    }

    /** Reads the files again that it follows, as somebody has asked; from any thread. */
    public void reload() {
        reloading.ifPresent(follower -> loop.later(follower::ask));
    }

    private void begin() {
        long now = loop.now();
        chronicle.begin(now);
        Settings settings = desk.settings();
        String file = settings.file();
        long record = chronicle.note(
                now,
                RunStart.of(
                        Version.NUMBER,
                        file,
                        ProcessHandle.current().pid(),
                        settings.timecode().rate().label(),
                        loop.settle() / 1_000,
                        loop.speed() == 1 ? null : String.valueOf(loop.speed())));
        journal.tornTail().ifPresent(tail -> chronicle.note(now, Happening.fault(tail.sentence())));
        journal.behind().ifPresent(sentence -> chronicle.note(now, Happening.fault(sentence)));
        chronicle.note(now, Happening.config(file, settings.fingerprint(), settings.text()));
        cold.ifPresent(why -> chronicle.note(now, Happening.fault(why)));
        chronicle.noteSource(now);
        desk.begin(new Continuation(lastRun, wall, chronicle), record, now);
        clockWatch.ifPresent(ClockWatch::start);
    }

    /** As if the kernel had told of it; for rigs. */
    void clockSet() {
        onLoop(loop, this::tellClockSet);
    }

    /** The kernel tells that somebody has set this computer's clock. An open take keeps its time; the next one looks at the clock anew. */
    private void tellClockSet() {
        Switchboard switchboard = desk.switchboard();
        switchboard.note(Happening.fault("this computer's clock was set: "
                + (switchboard.isRolling() ? "take " + switchboard.take() + " keeps the time that it began with, " : "")
                + "the next take counts from the new time"));
    }

    /** On the journal's thread, which may be there before the switchboard is, and after it. */
    private boolean tellOfDisk(boolean isFailing, String sentence) {
        if (loop.eventLoop().isShuttingDown()) {
            return false;
        }
        loop.later(() -> desk.switchboard().journal(isFailing, sentence));
        return true;
    }

    /** Tells the service manager that the desk runs, and from now on that it lives and how it stands. */
    public void reportTo(NotifySocket service) {
        onLoop(loop, () -> desk.reportTo(service));
    }

    /** What it cannot show is a fault in the journal, and no reason not to run. */
    private void showPage(Settings settings) {
        DeskSettings where = settings.desk();
        if (where != null) {
            DeskPage opened = DeskPage.open(
                    where,
                    new DeskView(watch, loop, new Pulse(loop::later, System::nanoTime), journal, loop.speed()),
                    new DeskPage.Told(
                            sentence -> tellOfPage(Happening.fault(sentence)),
                            sentence -> tellOfPage(Happening.note(sentence))));
            watch.tell(opened::news);
            page = Optional.of(opened);
        }
    }

    private void tellOfPage(Happening what) {
        if (!loop.eventLoop().isShuttingDown()) {
            loop.later(() -> {
                chronicle.note(loop.now(), what);
                chronicle.flush();
            });
        }
    }

    /** Where the desk page is; empty if there is none, or it cannot be opened. */
    public Optional<URI> page() {
        return page.flatMap(DeskPage::address);
    }

    /** Reads a descriptor in place of a pedal's device, for rigs: see {@link RunningDesk#attach}. */
    void attach(int pedal, int descriptor) throws IOException {
        desk.attach(pedal, descriptor);
    }

    /** Done when every performance has been played to its end; never, if there is none to play or there are devices as well. */
    public CompletableFuture<Void> performed() {
        return performed;
    }

    Path folder() {
        return journal.folder();
    }

    @Override
    public void close() {
        close("asked to");
    }

    /** Ends, and writes into the journal why. */
    public void close(String why) {
        onLoop(loop, () -> {
            desk.reportEnd(why);
            reloading.ifPresent(Reloading::close);
        });
        desk.closeDevices();
        waitForQuiet();
        onLoop(loop, () -> {
            clockWatch.ifPresent(ClockWatch::close);
            desk.stop(why);
        });
        loop.close();
        journal.close();
        page.ifPresent(DeskPage::close);
        eventLog.close();
    }

    /** What was said last still goes out; a gear that does not take it is not waited for long. */
    private void waitForQuiet() {
        CompletableFuture<Void> quiet = new CompletableFuture<>();
        loop.eventLoop().execute(() -> lookForQuiet(quiet));
        quiet.completeOnTimeout(null, QUIET_MILLIS, TimeUnit.MILLISECONDS).join();
    }

    private void lookForQuiet(CompletableFuture<Void> quiet) {
        if (desk.isQuiet() || quiet.isDone()) {
            quiet.complete(null);
        } else {
            loop.at(loop.now() + TimeUnit.MILLISECONDS.toNanos(10), () -> lookForQuiet(quiet));
        }
    }

    private static void onLoop(Loop loop, Runnable task) {
        CompletableFuture.runAsync(task, loop.eventLoop()).join();
    }
}
