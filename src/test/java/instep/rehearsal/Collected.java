package instep.rehearsal;

import instep.journal.Entry;
import java.io.IOException;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;

/** All at once what a run of a test tells: it is short. */
public final class Collected {
    private Collected() {}

    /** The records of the last run in a folder so far; none if there is no run yet. */
    public static List<Entry> entries(Path folder) throws IOException {
        Optional<RecordedRun> run = RecordedRun.read(folder, 0);
        return run.isEmpty() ? List.of() : entries(run.get());
    }

    public static List<Entry> entries(RecordedRun run) throws IOException {
        List<Entry> all = new ArrayList<>();
        try (RunReader records = run.open()) {
            for (Optional<Entry> entry = records.next(); entry.isPresent(); entry = records.next()) {
                all.add(entry.get());
            }
        }
        return all;
    }

    /** The decisions of the last run in a folder. */
    public static List<Decision> decisions(Path folder) throws IOException {
        return decisions(RecordedRun.read(folder, 0).orElseThrow());
    }

    public static List<Decision> decisions(RecordedRun run) throws IOException {
        List<Decision> all = new ArrayList<>();
        try (DecisionReader decisions = DecisionReader.of(run)) {
            for (Optional<Decision> next = decisions.next(); next.isPresent(); next = decisions.next()) {
                all.add(next.get());
            }
        }
        return all;
    }
}
