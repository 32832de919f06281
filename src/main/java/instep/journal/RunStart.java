package instep.journal;

import org.jspecify.annotations.Nullable;

/** The record that a run begins with. */
public final class RunStart {
    private RunStart() {}

    /** The daemon began; all records up to the next start are of this run. */
    public static Happening of(String version, String file, long pid, String rate) {
        return begin(version, file, pid, rate, -1, null, null);
    }

    /**
     * The same.
     *
     * @param settleMicros how long a due time waits for an edge that was made before it
     * @param speed how many times faster than the clock's time runs; null: it does not
     */
    public static Happening of(
            String version, String file, long pid, String rate, long settleMicros, @Nullable String speed) {
        return begin(version, file, pid, rate, settleMicros, speed, null);
    }

    /** The same where no daemon ran: {@code replays} is the journal whose edges follow. */
    public static Happening replay(Happening start, String replays) {
        return begin(
                start.text(Key.VERSION),
                start.text(Key.FILE),
                start.number(Key.PID),
                start.text(Key.RATE),
                start.number(Key.SETTLE_US),
                start.text(Key.SPEED).isEmpty() ? null : start.text(Key.SPEED),
                replays);
    }

    private static Happening begin(
            String version,
            String file,
            long pid,
            String rate,
            long settleMicros,
            @Nullable String speed,
            @Nullable String replays) {
        return new Happening(
                Kind.START,
                Key.FORMAT,
                JournalReader.FORMAT,
                Key.VERSION,
                version,
                Key.FILE,
                file,
                Key.PID,
                pid,
                Key.RATE,
                rate,
                Key.SETTLE_US,
                Happening.some(settleMicros),
                Key.SPEED,
                speed,
                Key.REPLAYS,
                replays);
    }
}
