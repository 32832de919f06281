package instep.daemon;

import instep.journal.DamagedLineException;
import instep.journal.Entry;
import instep.journal.JournalFolder;
import instep.journal.JournalReader;
import instep.journal.JournalScan;
import instep.journal.Key;
import instep.journal.Kind;
import instep.journal.NewerFormatException;
import instep.journal.StandingRecord;
import instep.machine.Whereabouts;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.time.Instant;
import java.time.LocalDate;
import java.time.ZoneId;
import java.util.EnumSet;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import org.jspecify.annotations.Nullable;

/** What the end of the journal tells of the run before this one: the number of the day's last take, and whether a take was left open. */
public final class LastRun implements JournalScan.Visitor {
    /** Nobody waits that long in front of the cameras. */
    static final Duration OLDEST = Duration.ofMinutes(10);

    /** A take that ended the program so often may well end it again. */
    static final int MOST_RESUMED = 3;

    private static final Set<Kind> KINDS =
            EnumSet.of(Kind.START, Kind.TAKE_OPEN, Kind.TAKE_CLOSE, Kind.STANDING, Kind.CUT, Kind.STOP);

    private final String today;
    /** The number of the last take of each day. */
    private final Map<String, Long> lastTakes = new HashMap<>();

    private long openTake = -1;
    private @Nullable String boot;
    private int resumed;
    private boolean stopped;
    private @Nullable Entry standing;
    private @Nullable Entry latest;

    private LastRun(String today) {
        this.today = today;
    }

    /**
     * From the journal in that folder; of a journal that cannot be read, nothing is known.
     *
     * @param now the wall's time, from which on takes are counted on or anew
     * @throws NewerFormatException if a later version wrote it: takes would be counted from 1 again, in a file of two formats
     */
    static LastRun in(Path folder, Instant now) throws NewerFormatException {
        String today = LocalDate.ofInstant(now, ZoneId.systemDefault()).toString();
        LastRun run = new LastRun(today);
        try {
            if (Files.isDirectory(folder)) {
                for (Path file : recent(folder, today)) {
                    JournalScan.of(file, KINDS, run);
                }
            }
        } catch (NewerFormatException e) {
            throw e;
        } catch (IOException e) {
            // The journal itself will say what is wrong with the folder when it is opened.
            return new LastRun(today);
        }
        return run;
    }

    /**
     * The last files, back to one that begins on an earlier day: of today, or of the day to which the journal has come if the clock is behind that. A take may have begun before
     * midnight. How much that is does not depend on how long the journal is, whatever days its files are named for.
     */
    private static List<Path> recent(Path folder, String today) throws IOException {
        List<Path> all = JournalFolder.journals(folder);
        int from = all.size();
        String day = today;
        String begins = today;
        while (from > 0 && begins.compareTo(day) >= 0) {
            from--;
            begins = beginning(all.get(from)).orElse(begins);
            day = from == all.size() - 1 && begins.compareTo(day) > 0 ? begins : day;
        }
        return all.subList(from, all.size());
    }

    /** The day of a file's first record; empty if it has none that can be read. */
    private static Optional<String> beginning(Path file) throws IOException {
        try (JournalReader reader = JournalReader.open(file)) {
            return reader.next().map(LastRun::day);
        } catch (DamagedLineException e) {
            return Optional.empty();
        }
    }

    private static String day(Entry entry) {
        return entry.at().substring(0, Math.min(10, entry.at().length()));
    }

    @Override
    public void entry(Path of, long line, Entry entry) {
        latest = entry;
        switch (entry.kind()) {
            case START -> {
                openTake = -1;
                standing = null;
                stopped = false;
            }
            case TAKE_OPEN -> opened(entry);
            case TAKE_CLOSE -> {
                openTake = -1;
                resumed = 0;
            }
            case STANDING -> standing = entry;
            case STOP -> stopped = true;
            default -> {}
        }
    }

    private void opened(Entry entry) {
        openTake = entry.number(Key.TAKE).orElse(-1);
        boot = entry.text(Key.BOOT).orElse(null);
        resumed = entry.text(Key.RESUMED).isPresent() ? resumed + 1 : 0;
        lastTakes.put(day(entry), openTake);
    }

    @Override
    public void damaged(DamagedLineException what) {
        // Whoever verifies the journal is told. One bad line is no reason to forget the takes behind it.
    }

    /**
     * The number of the last take of the day, so that a restart between two takes does not give the same number twice; 0 if there is none. If the clock is behind the journal or was set
     * back, that is of either day.
     */
    long lastTake() {
        long ofToday = lastTakes.getOrDefault(today, 0L);
        String end = latest == null ? today : day(latest);
        return end.compareTo(today) > 0 ? Math.max(ofToday, lastTakes.getOrDefault(end, 0L)) : ofToday;
    }

    /** The number of the take that was left open; empty if none was. */
    Optional<Long> openTake() {
        return openTake < 0 ? Optional.empty() : Optional.of(openTake);
    }

    /**
     * Where the machine stood in it.
     *
     * @param now when it is to go on, in the time of the machine
     */
    Optional<Whereabouts> standing(HostTime now) {
        return Optional.ofNullable(standing)
                .filter(entry -> openTake >= 0)
                .map(entry -> StandingRecord.read(entry)
                        .shifted(now.mono()
                                - entry.mono()
                                - Math.max(0, since(entry, now).toNanos())));
    }

    /** How long ago that was: by the monotonic time of one boot, else by the clock, which may have been set meanwhile. */
    private Duration since(Entry entry, HostTime now) {
        boolean isSameBoot = boot != null && boot.equals(now.boot()) && now.mono() >= entry.mono();
        return isSameBoot
                ? Duration.ofNanos(now.mono() - entry.mono())
                : Duration.between(entry.time().toInstant(), now.wall());
    }

    /** How that run ended, in words. */
    String ending() {
        String how = stopped ? " when Instep was stopped" : " when Instep, or its power, ended without a stop";
        return "take " + openTake + " was open" + how;
    }

    /** Whether it was broken off, by nobody's wish, in a take that can be gone on with. */
    boolean brokeOffInTake(HostTime now) {
        return openTake >= 0 && !stopped && hindrance(now).isEmpty();
    }

    /** Why the take is not gone on with; empty if it can be. */
    Optional<String> hindrance(HostTime now) {
        Duration since = latest == null ? Duration.ZERO : since(latest, now);
        if (since.compareTo(OLDEST) > 0) {
            return Optional.of("that is more than " + OLDEST.toMinutes() + " minutes ago");
        } else if (since.negated().compareTo(OLDEST) > 0) {
            return Optional.of("nobody knows how long ago that is, since this computer's clock is behind the journal");
        } else if (resumed >= MOST_RESUMED) {
            return Optional.of("it has been gone on with " + resumed + " times already");
        }
        return standing == null ? Optional.of("the journal does not tell where the machine stood") : Optional.empty();
    }
}
