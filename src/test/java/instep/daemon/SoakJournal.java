package instep.daemon;

import static org.assertj.core.api.Assertions.assertThat;

import instep.journal.DamagedLineException;
import instep.journal.Entry;
import instep.journal.JournalFollower;
import instep.journal.JournalScan;
import instep.journal.Key;
import instep.journal.Kind;
import java.io.IOException;
import java.nio.file.Path;
import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.EnumMap;
import java.util.EnumSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.function.Predicate;

/** The journal of a soak, read as it grows: how much of what stands there, what came last, and whether its times are what they should be. */
final class SoakJournal implements JournalScan.Visitor, AutoCloseable {
    private static final Set<Kind> KEPT = EnumSet.of(Kind.START, Kind.SENT, Kind.TAKE_OPEN, Kind.NOTE, Kind.FAULT);

    private final JournalFollower follower;
    private final Map<Kind, Long> counts = new EnumMap<>(Kind.class);
    private final Map<Kind, Entry> latest = new EnumMap<>(Kind.class);
    private final List<Entry> kept = new ArrayList<>();
    private long ofThisRun;
    private boolean isTakeOpen;
    private long since;
    private Duration offset = Duration.ZERO;

    SoakJournal(Path folder) throws IOException {
        follower = JournalFollower.open(folder);
    }

    @Override
    public void entry(Path of, long line, Entry entry) {
        counts.merge(entry.kind(), 1L, Long::sum);
        latest.put(entry.kind(), entry);
        if (KEPT.contains(entry.kind())) {
            kept.add(entry);
        }
        switch (entry.kind()) {
            case START -> {
                isTakeOpen = false;
                ofThisRun = 0;
            }
            case TAKE_OPEN -> {
                isTakeOpen = true;
                ofThisRun += entry.text(Key.RESUMED).isEmpty() ? 1 : 0;
            }
            case TAKE_CLOSE -> isTakeOpen = false;
            default -> {}
        }
        keepsItsTime(entry);
    }

    /** The wall clock is looked at when a run or a take begins, and held from there on. What came before may be told after it. */
    private void keepsItsTime(Entry entry) {
        Duration now = Duration.between(Instant.EPOCH.plusNanos(entry.mono()), entry.time());
        if (entry.kind() == Kind.START || (entry.kind() == Kind.SYNC && !isTakeOpen)) {
            since = entry.mono();
            offset = now;
        } else if (entry.mono() >= since) {
            assertThat(now).as("%s", entry).isEqualTo(offset);
        }
    }

    @Override
    public void damaged(DamagedLineException what) {
        throw new AssertionError(what);
    }

    /** Reads on. */
    private void look() throws IOException {
        follower.look(this);
    }

    long count(Kind kind) throws IOException {
        look();
        return counts.getOrDefault(kind, 0L);
    }

    /** How many takes were begun since the daemon was started. */
    long takesOfThisRun() throws IOException {
        look();
        return ofThisRun;
    }

    boolean isTakeOpen() throws IOException {
        look();
        return isTakeOpen;
    }

    Entry latest(Kind kind) throws IOException {
        look();
        return Optional.ofNullable(latest.get(kind))
                .orElseThrow(() -> new AssertionError("there is no record of the kind " + kind));
    }

    /** Whether such a record stands among those that were kept. */
    boolean tells(Kind kind, Predicate<String> text) throws IOException {
        look();
        return kept.stream()
                .anyMatch(entry ->
                        entry.kind() == kind && text.test(entry.text(Key.TEXT).orElse("")));
    }

    /** What was kept since this was asked last. */
    List<Entry> take() throws IOException {
        look();
        List<Entry> all = List.copyOf(kept);
        kept.clear();
        return all;
    }

    @Override
    public void close() throws IOException {
        follower.close();
    }
}
