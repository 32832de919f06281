package instep.rehearsal;

import instep.daemon.Loop;
import instep.journal.DamagedLineException;
import instep.journal.Entry;
import instep.journal.JournalScan;
import instep.journal.Key;
import instep.journal.Kind;
import instep.journal.StandingRecord;
import instep.machine.Whereabouts;
import java.io.IOException;
import java.nio.file.Path;
import java.time.Instant;
import java.time.ZoneId;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.TreeMap;
import org.jspecify.annotations.Nullable;

/**
 * One run of a daemon as its journal tells it. The journal is read once to learn what is told here, and where the run ends so far; its records are read from the files each time that somebody
 * goes through them. So memory does not grow with the journal, but for a hundred bytes or so a take: where the clock stood when it began.
 */
public final class RecordedRun {
    private static final long NANOS_PER_SECOND = 1_000_000_000L;

    private final Path place;
    private final Survey survey;
    private final int number;
    private final Path file;
    private final long line;
    private final Entry start;
    /** From monotonic instants on: what is to be added to them for the wall's time. */
    private final TreeMap<Long, Long> offsets = new TreeMap<>();

    private @Nullable Entry firstConfig;
    private long configs;
    private @Nullable Entry firstTake;
    private @Nullable Entry standing;
    private boolean wasStopped;
    private long records;
    private long last;

    private RecordedRun(Survey survey, Path place, Path file, long line, Entry start) {
        this.survey = survey;
        this.place = place;
        this.file = file;
        this.line = line;
        this.start = start;
        number = survey.runs;
        offsets.put(Long.MIN_VALUE, offset(start));
    }

    /**
     * Looks for a run in a journal's folder, or in one file of it; empty if there is none of that number.
     *
     * @param wanted from 1; 0: the last
     */
    public static Optional<RecordedRun> read(Path place, int wanted) throws IOException {
        Survey survey = new Survey(place, wanted);
        JournalScan.of(place, survey);
        return Optional.ofNullable(survey.run);
    }

    /** Which it is in what was read, from 1. */
    public int number() {
        return number;
    }

    /** How many runs there are. */
    public int runs() {
        return survey.runs;
    }

    /** A sentence for each line that could not be read, of whichever run; of more than a hundred, the last one tells how many more there were. */
    public List<String> damage() {
        List<String> sentences = new ArrayList<>(survey.damage);
        if (survey.moreDamage > 0) {
            sentences.add(survey.moreDamage + (survey.moreDamage == 1 ? " more damaged line" : " more damaged lines"));
        }
        return sentences;
    }

    /** The record that it began with. */
    public Entry start() {
        return start;
    }

    /** The text of the configuration that was in force from the start; empty if the journal has none. */
    public Optional<String> config() {
        return Optional.ofNullable(firstConfig).flatMap(entry -> entry.text(Key.TEXT));
    }

    /** How many configurations were in force, one after the other. */
    public long configs() {
        return configs;
    }

    /** Whether the daemon was told to end; else it was killed, or runs still. */
    boolean wasStopped() {
        return wasStopped;
    }

    /** Where the machine stood in the take that the run began with, since an earlier one had left it open; empty if it began anew. */
    Optional<Whereabouts> resumed() {
        return Optional.ofNullable(standing).map(StandingRecord::read);
    }

    /** The number of the last take before it, of that day. */
    long lastTake() {
        return firstTake == null ? 0 : firstTake.number(Key.TAKE).orElse(1) - 1;
    }

    /** How long a due time waited for edges that were made before it. */
    long settleNanos() {
        return start.number(Key.SETTLE_US).orElse(Loop.SETTLE_NANOS / 1_000) * 1_000;
    }

    /** How many times faster than the clock's its time ran; empty if it did not. */
    Optional<String> speed() {
        return start.text(Key.SPEED);
    }

    /** The clock that it had, from its beginning on. */
    RecordedClock clock() {
        return new RecordedClock(zone(), offsets);
    }

    private static long offset(Entry entry) {
        Instant at = entry.time().toInstant();
        return at.getEpochSecond() * NANOS_PER_SECOND + at.getNano() - entry.mono();
    }

    /** Where its clock stood: here, if this machine's zone had the same time then; else at that offset. */
    private ZoneId zone() {
        ZoneId here = ZoneId.systemDefault();
        return here.getRules()
                        .getOffset(start.time().toInstant())
                        .equals(start.time().getOffset())
                ? here
                : start.time().getOffset();
    }

    /** Its records from the first on, as far as the journal went when it was looked for; the reader is to be closed. */
    RunReader open() throws IOException {
        return RunReader.open(JournalScan.files(place), new RunReader.Extent(file, line, start, records, last));
    }

    /** Learns from its next record. */
    private void add(Entry entry) {
        if (RunReader.isLeftOut(entry)) {
            return;
        }
        records++;
        last = entry.seq();
        switch (entry.kind()) {
            case CONFIG -> {
                configs++;
                firstConfig = firstConfig == null ? entry : firstConfig;
            }
            case STANDING -> standing = standing == null && firstTake == null ? entry : standing;
            case TAKE_OPEN -> {
                firstTake = firstTake == null ? entry : firstTake;
                offsets.put(entry.mono(), offset(entry));
            }
            case STOP -> wasStopped = true;
            default -> {}
        }
    }

    /** Goes through the journal from its first record to its last, and keeps what is known of the run that is looked for. */
    private static final class Survey implements JournalScan.Visitor {
        private static final int MOST_DAMAGE = 100;

        private final Path place;
        private final int wanted;
        private final List<String> damage = new ArrayList<>();
        private long moreDamage;
        private int runs;
        private @Nullable RecordedRun run;

        Survey(Path place, int wanted) {
            this.place = place;
            this.wanted = wanted;
        }

        @Override
        public void entry(Path file, long line, Entry entry) {
            if (entry.kind() == Kind.START) {
                runs++;
                run = wanted == 0 || wanted == runs ? new RecordedRun(this, place, file, line, entry) : run;
            }
            if (run != null && run.number == runs) {
                run.add(entry);
            }
        }

        /** It is told, and passed over. */
        @Override
        public void damaged(DamagedLineException what) {
            if (damage.size() < MOST_DAMAGE) {
                damage.add(String.valueOf(what.getMessage()));
            } else {
                moreDamage++;
            }
        }
    }
}
