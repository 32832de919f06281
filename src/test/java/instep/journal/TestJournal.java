package instep.journal;

import instep.time.FrameRate;
import java.io.IOException;
import java.nio.file.Path;
import java.time.Instant;
import java.time.ZoneId;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.concurrent.atomic.AtomicBoolean;
import java.util.function.Consumer;
import java.util.function.LongUnaryOperator;

/** What the tests of the journal share: a folder's settings, a wall clock that stands on a day, and reading all at once. */
final class TestJournal {
    static final long SECOND = 1_000_000_000L;
    static final ZoneId ZONE = ZoneId.of("Europe/Vienna");
    /** 10:00:00 in Vienna, in the winter. */
    static final long WALL = Instant.parse("2026-03-02T09:00:00Z").getEpochSecond() * SECOND;

    private TestJournal() {}

    static JournalSettings settings(Path folder, Durability durability, int limit) {
        return settings(folder, new Keeping(durability, 1_000_000_000L, 2_000_000_000L), limit);
    }

    static JournalSettings settings(Path folder, Keeping keeping, int limit) {
        return new JournalSettings(folder, FrameRate.R25, ZONE, keeping, limit);
    }

    /** A wall clock whose monotonic time 0 is 10:00. A journal that is opened first asks which day it is now: that day. */
    static LongUnaryOperator wall() {
        AtomicBoolean asked = new AtomicBoolean();
        return mono -> asked.getAndSet(true) ? WALL + mono : WALL;
    }

    static Journal open(Path folder) throws JournalException {
        return open(folder, line -> {});
    }

    static Journal open(Path folder, Consumer<String> events) throws JournalException {
        return Journal.open(settings(folder, Durability.OS, 1_000), wall(), events);
    }

    static Path file(Path folder) {
        return folder.resolve("journal-2026-03-02.jsonl");
    }

    static List<Entry> read(Path file) throws IOException {
        List<Entry> entries = new ArrayList<>();
        try (JournalReader reader = JournalReader.open(file)) {
            for (Optional<Entry> entry = reader.next(); entry.isPresent(); entry = reader.next()) {
                entries.add(entry.get());
            }
        }
        return entries;
    }
}
