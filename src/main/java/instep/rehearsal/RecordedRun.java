package instep.rehearsal;

import instep.daemon.Loop;
import instep.journal.DamagedLineException;
import instep.journal.Entry;
import instep.journal.JournalFolder;
import instep.journal.JournalReader;
import instep.journal.Key;
import instep.journal.Kind;
import instep.journal.StandingRecord;
import instep.machine.Whereabouts;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Instant;
import java.time.ZoneId;
import java.util.ArrayList;
import java.util.EnumSet;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import java.util.TreeMap;
import java.util.function.LongUnaryOperator;

/**
 * One run of a daemon as its journal tells it.
 *
 * @param number of the run in what was read, from 1
 * @param runs how many runs there are
 * @param entries from its start on; what gear was told is left out
 * @param damage a sentence for each line that could not be read, of whichever run
 */
public record RecordedRun(int number, int runs, List<Entry> entries, List<String> damage) {
    private static final Set<Kind> LEFT_OUT = EnumSet.of(Kind.POSITION, Kind.SENT, Kind.MISSED);
    private static final long NANOS_PER_SECOND = 1_000_000_000L;

    public RecordedRun {
        entries = List.copyOf(entries);
        damage = List.copyOf(damage);
    }

    /**
     * Reads a run from a journal's folder, or from one file of it; empty if there is none of that number.
     *
     * @param wanted from 1; 0: the last
     */
    public static Optional<RecordedRun> read(Path place, int wanted) throws IOException {
        Reading reading = new Reading(wanted);
        List<Path> files = Files.isRegularFile(place) ? List.of(place) : JournalFolder.journals(place);
        for (Path file : files) {
            reading.file(file);
        }
        int number = wanted == 0 ? reading.runs : wanted;
        return number < 1 || number > reading.runs
                ? Optional.empty()
                : Optional.of(new RecordedRun(number, reading.runs, reading.entries, reading.damage));
    }

    /** The record that it began with. */
    public Entry start() {
        return entries.get(0);
    }

    /** The text of the configuration that was in force from the start; empty if the journal has none. */
    public Optional<String> config() {
        return entries.stream()
                .filter(entry -> entry.kind() == Kind.CONFIG)
                .findFirst()
                .flatMap(entry -> entry.text(Key.TEXT));
    }

    /** How many configurations were in force, one after the other. */
    public long configs() {
        return entries.stream().filter(entry -> entry.kind() == Kind.CONFIG).count();
    }

    /** Where the machine stood in the take that the run began with, since an earlier one had left it open; empty if it began anew. */
    Optional<Whereabouts> resumed() {
        return entries.stream()
                .filter(entry -> entry.kind() == Kind.STANDING || entry.kind() == Kind.TAKE_OPEN)
                .findFirst()
                .filter(entry -> entry.kind() == Kind.STANDING)
                .map(StandingRecord::read);
    }

    /** The number of the last take before it, of that day. */
    long lastTake() {
        return entries.stream()
                .filter(entry -> entry.kind() == Kind.TAKE_OPEN)
                .findFirst()
                .map(entry -> entry.number(Key.TAKE).orElse(1) - 1)
                .orElse(0L);
    }

    /** How long a due time waited for edges that were made before it. */
    long settleNanos() {
        return start().number(Key.SETTLE_US).orElse(Loop.SETTLE_NANOS / 1_000) * 1_000;
    }

    /** How many times faster than the clock's its time ran; empty if it did not. */
    Optional<String> speed() {
        return start().text(Key.SPEED);
    }

    /** From its monotonic time to nanoseconds since 1970-01-01T00:00:00Z. The daemon looks at its clock when a take begins, and holds what it saw. */
    LongUnaryOperator wall() {
        TreeMap<Long, Long> offsets = new TreeMap<>();
        offsets.put(Long.MIN_VALUE, offset(start()));
        entries.stream()
                .filter(entry -> entry.kind() == Kind.TAKE_OPEN)
                .forEach(entry -> offsets.put(entry.mono(), offset(entry)));
        return nanos -> nanos + offsets.floorEntry(nanos).getValue();
    }

    private static long offset(Entry entry) {
        Instant at = entry.time().toInstant();
        return at.getEpochSecond() * NANOS_PER_SECOND + at.getNano() - entry.mono();
    }

    /** Where its clock stood: here, if this machine's zone had the same time then; else at that offset. */
    ZoneId zone() {
        ZoneId here = ZoneId.systemDefault();
        return here.getRules()
                        .getOffset(start().time().toInstant())
                        .equals(start().time().getOffset())
                ? here
                : start().time().getOffset();
    }

    private static final class Reading {
        private final int wanted;
        private final List<Entry> entries = new ArrayList<>();
        private final List<String> damage = new ArrayList<>();
        private int runs;

        Reading(int wanted) {
            this.wanted = wanted;
        }

        void file(Path file) throws IOException {
            try (JournalReader reader = JournalReader.open(file)) {
                for (Optional<Entry> entry = next(reader); entry.isPresent(); entry = next(reader)) {
                    accept(entry.get());
                }
            }
        }

        /** A damaged line is told and passed over. */
        private Optional<Entry> next(JournalReader reader) throws IOException {
            while (true) {
                try {
                    return reader.next();
                } catch (DamagedLineException e) {
                    damage.add(String.valueOf(e.getMessage()));
                }
            }
        }

        private void accept(Entry entry) {
            if (entry.kind() == Kind.START) {
                runs++;
                if (wanted == 0) {
                    entries.clear();
                }
            }
            if (runs > 0 && (wanted == 0 || wanted == runs) && !LEFT_OUT.contains(entry.kind())) {
                entries.add(entry);
            }
        }
    }
}
