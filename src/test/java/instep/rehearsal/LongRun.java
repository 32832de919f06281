package instep.rehearsal;

import static org.awaitility.Awaitility.await;

import instep.config.ConfigException;
import instep.config.ConfigReader;
import instep.config.Settings;
import instep.daemon.Chronicle;
import instep.daemon.Loop;
import instep.daemon.Switchboard;
import instep.daemon.WallTime;
import instep.journal.Durability;
import instep.journal.Happening;
import instep.journal.Journal;
import instep.journal.JournalSettings;
import instep.journal.Keeping;
import instep.journal.RunStart;
import instep.time.FrameRate;
import java.io.IOException;
import java.nio.file.Path;
import java.time.Duration;
import java.time.Instant;
import java.time.ZoneId;
import java.util.function.LongUnaryOperator;

/** A run of any length, by the daemon's own switchboard in virtual time: feet that press every two seconds, and a new take every minute. */
final class LongRun {
    static final String CONFIG = """
            instep: 1
            timecode: { rate: 25 }
            angles:
              wide:  { reel: WIDE }
              wheel: { reel: WHEEL }
              hands: { reel: HANDS }
              glaze: { reel: GLAZE }
            pedals:
              floor: { match: { usb: "1209:2303" }, contacts: { left: KEY_A, middle: KEY_B, right: KEY_C } }
            machine:
              initial: standby
              states:
                standby: { on: { right.press: rolling } }
                rolling:
                  rolling: true
                  angle: wide
                  on:
                    left.press: { angle: wheel, until: left.release }
                    middle.press: { angle: hands, until: middle.press }
                    right.press: standby
            """;

    static final long SECOND = 1_000_000_000L;

    private static final ZoneId ZONE = ZoneId.of("Europe/Vienna");
    private static final long BETWEEN = 2 * SECOND;
    private static final long SHORT = SECOND * 7 / 10;
    private static final int A_TAKE = 30;
    private static final int RIGHT = 2;
    private static final int MOST_PENDING = 5_000;
    private static final Keeping WHOLE = new Keeping(Durability.OS, Long.MAX_VALUE, Long.MAX_VALUE);

    private final Journal journal;
    private final VirtualTime time;
    private final Switchboard switchboard;
    private final long start;

    private LongRun(Journal journal, Settings settings, long start, LongUnaryOperator wall) {
        this.journal = journal;
        this.start = start;
        time = new VirtualTime(start, Loop.SETTLE_NANOS);
        Chronicle chronicle = Chronicle.of(journal, settings.timecode(), WallTime.of(ZONE, wall), start);
        switchboard = new Switchboard(settings, chronicle, time, listener -> new Nobody());
        long record = chronicle.note(start, RunStart.of("test", "long.yaml", 1, "25"));
        chronicle.note(start, Happening.config("long.yaml", "", settings.text()));
        time.at(start, () -> switchboard.start(record, start, 0));
    }

    /**
     * Writes it behind what the folder holds.
     *
     * @param begin its wall time
     */
    static void write(Path folder, Instant begin, long presses) throws IOException, ConfigException {
        Settings settings = ConfigReader.parse("long.yaml", CONFIG);
        LongUnaryOperator wall = nanos -> nanos - SECOND + begin.getEpochSecond() * SECOND;
        try (Journal journal = journal(folder, SECOND, wall)) {
            LongRun run = new LongRun(journal, settings, SECOND, wall);
            run.press(presses);
            run.time.at(run.start + presses * BETWEEN, () -> run.switchboard.stop("over"));
            run.waitForWriter(0);
        }
    }

    /** A journal of which nothing is removed, from that monotonic instant on. */
    static Journal journal(Path folder, long start, LongUnaryOperator wall) throws IOException {
        JournalSettings where = new JournalSettings(folder, FrameRate.R25, ZONE, WHOLE, JournalSettings.LIMIT);
        return Journal.openAt(start, where, wall, line -> {});
    }

    private void press(long presses) {
        for (long press = 0; press < presses; press++) {
            int contact = press % A_TAKE == 0 ? RIGHT : (int) (press % RIGHT);
            long at = start + press * BETWEEN + BETWEEN / 2;
            edge(contact, true, at);
            edge(contact, false, at + SHORT);
            waitForWriter(MOST_PENDING);
        }
    }

    private void edge(int contact, boolean closed, long at) {
        time.at(at, () -> {
            switchboard.settle(at);
            switchboard.pedals().edge(contact, closed, false, at);
        });
    }

    private void waitForWriter(long most) {
        if (journal.pending() > most) {
            journal.flush();
            await().pollDelay(Duration.ZERO)
                    .pollInterval(Duration.ofMillis(1))
                    .atMost(Duration.ofMinutes(5))
                    .until(() -> journal.pending() <= most);
        }
    }
}
