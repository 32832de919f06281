package instep.rehearsal;

import instep.clock.Chase;
import instep.config.ConfigException;
import instep.config.ConfigReader;
import instep.config.Settings;
import instep.config.TimecodeSettings;
import instep.daemon.ChaseNews;
import instep.daemon.Chronicle;
import instep.daemon.Switchboard;
import instep.daemon.Version;
import instep.gear.GearListener.LinkState;
import instep.gear.GearSettings;
import instep.gesture.Contact;
import instep.input.InputListener.DeviceState;
import instep.input.PedalSettings;
import instep.journal.Durability;
import instep.journal.Entry;
import instep.journal.EventLog;
import instep.journal.Happening;
import instep.journal.Journal;
import instep.journal.JournalSettings;
import instep.journal.Keeping;
import instep.journal.Key;
import instep.journal.RunStart;
import instep.journal.SyncRecord;
import instep.machine.Whereabouts;
import instep.time.FrameRate;
import instep.time.TimecodeLine;
import java.io.IOException;
import java.nio.file.Path;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import java.util.TreeSet;
import java.util.concurrent.locks.LockSupport;

/**
 * A recorded run again, through the daemon's own switchboard in virtual time: the edges, and what devices and links did, go in as they stand in the journal,
 * and a new journal comes out. No gear is told anything. Records are read, played and written one after the other, so memory does not grow with the run.
 */
public final class Replay {
    /** In one file a day, of which nothing is removed. */
    private static final Keeping WHOLE = new Keeping(Durability.OS, Long.MAX_VALUE, Long.MAX_VALUE);

    private static final int MOST_PENDING = JournalSettings.LIMIT / 2;
    private static final long PAUSE_NANOS = 1_000_000L;

    private final RecordedRun run;
    private final Journal journal;
    private final VirtualTime time;
    private final long settle;
    private final Chronicle chronicle;
    /** Configurations that came into force while it ran come into force again. */
    private final boolean isSame;

    private Settings settings;
    private Switchboard switchboard;
    private int configs;
    private final Set<String> unknown = new TreeSet<>();

    private Replay(RecordedRun run, Settings settings, Journal journal, RecordedClock clock) {
        this.run = run;
        this.settings = settings;
        this.journal = journal;
        isSame = run.config().equals(Optional.of(settings.text()));
        long start = run.start().mono();
        settle = run.settleNanos();
        double speed = run.speed().map(Double::parseDouble).orElse(1.0);
        time = new VirtualTime(start, settle, speed);
        chronicle = Chronicle.of(journal, settings.timecode(), clock, start);
        switchboard = new Switchboard(settings, chronicle, time, listener -> new Nobody());
    }

    /**
     * Plays the run and writes a journal and an event log into the folder.
     *
     * @param replays what was played, for the journal's first record
     * @return full names of contacts, pedals and gear that the settings do not have; what they did is left out
     */
    public static Set<String> write(RecordedRun run, Settings settings, Path folder, String replays)
            throws IOException {
        RecordedClock clock = run.clock();
        JournalSettings where =
                new JournalSettings(folder, settings.timecode().rate(), clock.zone(), WHOLE, JournalSettings.LIMIT);
        try (EventLog events = EventLog.open(folder, false);
                Journal journal = Journal.openAt(run.start().mono(), where, clock::at, events)) {
            Replay replay = new Replay(run, settings, journal, clock);
            replay.play(replays);
            return replay.unknown;
        }
    }

    private void play(String replays) throws IOException {
        long start = run.start().mono();
        String file = settings.file();
        String rate = settings.timecode().rate().label();
        long pid = ProcessHandle.current().pid();
        Happening begin = RunStart.of(
                Version.NUMBER, file, pid, rate, settle / 1_000, run.speed().orElse(null));
        long record = chronicle.note(start, RunStart.replay(begin, replays));
        chronicle.note(start, Happening.config(file, settings.fingerprint(), settings.text()));
        time.at(start, () -> begin(record, start));
        long end = feedAll(start);
        if (!run.wasStopped()) {
            // The daemon was killed: what was due after its last record, it may not have lived to see.
            time.at(end, () -> switchboard.settle(end));
        }
        // Closing a journal gives up on a slow disk, as a daemon must; half a replay would be taken for another
        // decision.
        waitForWriter(0);
    }

    /** From the files, one record after the other; returns the latest instant among them. */
    private long feedAll(long start) throws IOException {
        long last = start;
        try (RunReader records = run.open()) {
            for (Optional<Entry> entry = records.next(); entry.isPresent(); entry = records.next()) {
                feed(entry.get());
                last = Math.max(last, entry.get().mono());
                waitForWriter(MOST_PENDING);
            }
        }
        return last;
    }

    /** As that run did: in a take that it went on with, if it could with this chart, too. */
    private void begin(long record, long start) {
        Optional<Whereabouts> resumed = run.resumed().filter(switchboard::canResume);
        if (resumed.isPresent()) {
            switchboard.resume(record, start, resumed.get());
        } else {
            switchboard.start(record, start, run.lastTake());
        }
    }

    /** A journal that falls behind by more than its limit would give records up. */
    private void waitForWriter(long most) throws IOException {
        while (journal.pending() > most) {
            Optional<String> failing = journal.failing();
            if (failing.isPresent()) {
                throw new IOException("the new journal cannot be written: " + failing.get());
            }
            journal.flush();
            LockSupport.parkNanos(this, PAUSE_NANOS);
        }
    }

    private void feed(Entry entry) throws IOException {
        switch (entry.kind()) {
            case EDGE -> edge(entry);
            case DEVICE -> device(entry);
            case LINK -> link(entry);
            case FAULT -> fault(entry);
            case REPLY -> reply(entry);
            case SYNC -> timecode(entry);
            case CONFIG -> config(entry);
            case STOP -> time.at(entry.mono(), () -> switchboard.stop(text(entry, Key.WHY)));
            case START,
                    POSITION,
                    GESTURE,
                    TRANSITION,
                    CUT,
                    CONFIRMED,
                    TAKE_OPEN,
                    TAKE_CLOSE,
                    MARK,
                    SENT,
                    NOTE,
                    STANDING,
                    MISSED -> {}
        }
    }

    /** Another configuration than the first one takes its place, as it did then. */
    private void config(Entry entry) throws IOException {
        if (configs++ == 0 || !isSame) {
            return;
        }
        try {
            Settings next = ConfigReader.parse(text(entry, Key.FILE), text(entry, Key.TEXT));
            time.at(entry.mono(), () -> {
                switchboard = switchboard.handOver(next, listener -> new Nobody(), entry.mono());
                settings = next;
            });
        } catch (ConfigException e) {
            throw new IOException("the configuration of " + entry.at() + " cannot be read any more: " + e.getMessage());
        }
    }

    private void edge(Entry entry) {
        int contact = known(
                entry,
                Key.CONTACT,
                settings.contacts().stream().map(Contact::fullName).toList());
        boolean closed = text(entry, Key.CLOSED).equals("true");
        boolean lost = text(entry, Key.LOST).equals("true");
        long counts = entry.number(Key.COUNTS).orElse(entry.mono());
        if (contact >= 0) {
            time.at(counts, () -> {
                switchboard.settle(counts);
                switchboard.pedals().edge(contact, closed, lost, entry.mono());
            });
        }
    }

    private void device(Entry entry) {
        int pedal = known(
                entry,
                Key.PEDAL,
                settings.pedals().stream().map(PedalSettings::name).toList());
        DeviceState state = text(entry, Key.STATE).equals("up")
                ? DeviceState.UP
                : text(entry, Key.STATE).equals("denied") ? DeviceState.DENIED : DeviceState.ABSENT;
        if (pedal >= 0) {
            time.at(
                    entry.mono(),
                    () -> switchboard.pedals().device(pedal, state, text(entry, Key.DETAIL), entry.mono()));
        }
    }

    private void link(Entry entry) {
        int gear = gear(entry);
        LinkState state = text(entry, Key.STATE).equals("up") ? LinkState.UP : LinkState.LOST;
        if (gear >= 0) {
            time.at(entry.mono(), () -> switchboard.gear().link(gear, state, text(entry, Key.WHY)));
        }
    }

    /** What timecode from outside told then, it tells again, if the mapping counts in the same way. */
    private void timecode(Entry entry) {
        boolean isSame = settings.timecode().source().isOutside()
                && run.start().text(Key.RATE).equals(Optional.of(rate().label()));
        Optional<Chase.News> news = entry.text(Key.STATE).flatMap(Chase.News::named);
        if (isSame && news.isPresent()) {
            boolean isDrawn = TimecodeSettings.Source.isOutside(text(entry, Key.SOURCE));
            TimecodeLine line = new TimecodeLine(
                    rate(),
                    entry.number(Key.BEGAN).orElse(entry.mono()),
                    entry.number(Key.FRAME).orElse(0));
            ChaseNews again = new ChaseNews(news.get(), isDrawn ? line : null, SyncRecord.quality(entry));
            time.at(entry.mono(), () -> switchboard.timecode(again));
        }
    }

    private FrameRate rate() {
        return settings.timecode().rate();
    }

    /** Through the patterns again, whether or not one took it then: with another mapping it may. */
    private void reply(Entry entry) {
        int gear = gear(entry);
        long ticket = entry.number(Key.TICKET).orElse(-1);
        long counts = entry.number(Key.COUNTS).orElse(Long.MIN_VALUE);
        if (gear >= 0) {
            time.at(Math.max(entry.mono(), counts), () -> {
                if (counts > Long.MIN_VALUE) {
                    switchboard.settle(counts);
                }
                switchboard.gear().reply(gear, ticket, text(entry, Key.TEXT), entry.mono());
            });
        }
    }

    /** A fault that is none of gear's was no event, and what the roll check found it finds again. */
    private void fault(Entry entry) {
        entry.text(Key.JOURNAL)
                .ifPresent(state -> time.at(
                        entry.mono(), () -> switchboard.journal(state.equals("failing"), text(entry, Key.TEXT))));
        if (entry.text(Key.GEAR).isEmpty() || DecisionReader.isRollFault(entry)) {
            return;
        }
        int gear = gear(entry);
        boolean silent = text(entry, Key.SILENT).equals("true");
        long ticket = entry.number(Key.TICKET).orElse(-1);
        Optional<String> angle = entry.text(Key.ANGLE);
        if (gear >= 0 && angle.isPresent()) {
            time.at(
                    entry.mono(),
                    () -> switchboard.gear().unconfirmed(gear, ticket, angle.get(), text(entry, Key.TEXT)));
        } else if (gear >= 0) {
            time.at(entry.mono(), () -> switchboard.gear().refused(gear, ticket, silent, text(entry, Key.TEXT)));
        }
    }

    private int gear(Entry entry) {
        return known(
                entry,
                Key.GEAR,
                settings.gear().stream().map(GearSettings::name).toList());
    }

    private int known(Entry entry, String key, List<String> names) {
        String name = text(entry, key);
        int number = names.indexOf(name);
        if (number < 0) {
            unknown.add(name);
        }
        return number;
    }

    private static String text(Entry entry, String key) {
        return entry.text(key).orElse("");
    }
}
