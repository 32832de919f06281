package instep.rehearsal;

import instep.journal.Entry;
import instep.journal.Key;
import instep.journal.Kind;
import java.io.Closeable;
import java.io.IOException;
import java.util.EnumSet;
import java.util.LinkedHashMap;
import java.util.Map;
import java.util.Optional;
import java.util.Set;

/** Reads the decisions of a run, one after the other. Of what came before, it holds 8 bytes for each input and each cut. Not thread-safe. */
final class DecisionReader implements Closeable {
    private static final Set<Kind> DECIDED = EnumSet.of(
            Kind.GESTURE, Kind.TRANSITION, Kind.CUT, Kind.CONFIRMED, Kind.TAKE_OPEN, Kind.TAKE_CLOSE, Kind.MARK);

    private final RunReader records;
    private final Places inputs = new Places();
    private final Places cuts = new Places();

    private DecisionReader(RunReader records) {
        this.records = records;
    }

    static DecisionReader of(RecordedRun run) throws IOException {
        return new DecisionReader(run.open());
    }

    /** The next decision; empty after the last one. */
    Optional<Decision> next() throws IOException {
        for (Optional<Entry> entry = records.next(); entry.isPresent(); entry = records.next()) {
            if (isInput(entry.get())) {
                inputs.add(entry.get().seq());
            } else if (DECIDED.contains(entry.get().kind()) || isRollFault(entry.get())) {
                return Optional.of(decision(entry.get()));
            }
        }
        return Optional.empty();
    }

    private Decision decision(Entry entry) {
        Map<String, Object> fields = new LinkedHashMap<>(entry.fields());
        fields.remove(Key.CAUSE);
        fields.remove(Key.BOOT);
        int cause = inputs.of(entry.number(Key.CAUSE).orElse(-1));
        if (entry.kind() == Kind.CUT) {
            cuts.add(entry.seq());
        } else if (entry.kind() == Kind.CONFIRMED) {
            fields.remove(Key.TICKET);
            cause = cuts.of(entry.number(Key.TICKET).orElse(-1));
        }
        return new Decision(entry.at(), entry.mono(), entry.tc(), entry.kind(), fields, cause);
    }

    private static boolean isInput(Entry entry) {
        return switch (entry.kind()) {
            case START, EDGE, DEVICE, LINK -> true;
            case FAULT ->
                entry.text(Key.JOURNAL).isPresent() || (entry.text(Key.GEAR).isPresent() && !isRollFault(entry));
            case REPLY -> entry.text(Key.HEEDED).isPresent();
            case SYNC -> entry.text(Key.STATE).isPresent();
            case CONFIG,
                    POSITION,
                    GESTURE,
                    TRANSITION,
                    CUT,
                    CONFIRMED,
                    TAKE_OPEN,
                    TAKE_CLOSE,
                    MARK,
                    SENT,
                    MISSED,
                    NOTE,
                    STANDING,
                    STOP -> false;
        };
    }

    /** What the roll check finds follows from the replies, from links and from time. */
    static boolean isRollFault(Entry entry) {
        return entry.kind() == Kind.FAULT && entry.text(Key.ROLL).isPresent();
    }

    @Override
    public void close() throws IOException {
        records.close();
    }
}
