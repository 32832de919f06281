package instep.daemon;

import instep.journal.DamagedLineException;
import instep.journal.Entry;
import instep.journal.JournalFolder;
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
import java.util.List;
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
    private long lastTake;
    private long openTake = -1;
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

    /** Those since today, and the one before them: a take may have begun before midnight. */
    private static List<Path> recent(Path folder, String today) throws IOException {
        List<Path> all = JournalFolder.journals(folder);
        int count = JournalFolder.since(folder, today).size();
        return all.subList(Math.max(0, all.size() - count - 1), all.size());
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
        resumed = entry.text(Key.RESUMED).isPresent() ? resumed + 1 : 0;
        if (entry.at().startsWith(today)) {
            lastTake = openTake;
        }
    }

    @Override
    public void damaged(DamagedLineException what) {
        // Whoever verifies the journal is told. One bad line is no reason to forget the takes behind it.
    }

    /** The number of the last take of the day, so that a restart between two takes does not give the same number twice; 0 if there is none. */
    long lastTake() {
        return lastTake;
    }

    /** The number of the take that was left open; empty if none was. */
    Optional<Long> openTake() {
        return openTake < 0 ? Optional.empty() : Optional.of(openTake);
    }

    /**
     * Where the machine stood in it.
     *
     * @param now the wall's time
     * @param mono the same instant, in the time of the machine that is to go on
     */
    Optional<Whereabouts> standing(Instant now, long mono) {
        return Optional.ofNullable(standing)
                .filter(entry -> openTake >= 0)
                .map(entry -> StandingRecord.read(entry).shifted(mono - entry.mono() - passed(entry, now)));
    }

    /** A clock that was set back is no reason for a time to last longer. */
    private static long passed(Entry entry, Instant now) {
        return Math.max(0, Duration.between(entry.time().toInstant(), now).toNanos());
    }

    /** How that run ended, in words. */
    String ending() {
        String how = stopped ? " when Instep was stopped" : " when Instep, or its power, ended without a stop";
        return "take " + openTake + " was open" + how;
    }

    /** Whether it was broken off, by nobody's wish, in a take that can be gone on with. */
    boolean brokeOffInTake(Instant now) {
        return openTake >= 0 && !stopped && hindrance(now).isEmpty();
    }

    /** Why the take is not gone on with; empty if it can be. */
    Optional<String> hindrance(Instant now) {
        Duration since =
                latest == null ? Duration.ZERO : Duration.between(latest.time().toInstant(), now);
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
