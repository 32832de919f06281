package instep.rehearsal;

import java.io.IOException;
import java.util.List;
import java.util.Optional;

/**
 * Whether a run and its replay with the same mapping decide the same, decision for decision.
 *
 * @param decisions how many the run has
 * @param differences where the two part, in words; empty if they are equal
 */
public record Comparison(long decisions, List<String> differences) {
    /** Reads both side by side. Of a run that was killed, what was due then may be missing at its end. */
    public static Comparison of(RecordedRun recorded, RecordedRun replayed) throws IOException {
        try (DecisionReader journal = DecisionReader.of(recorded);
                DecisionReader replay = DecisionReader.of(replayed)) {
            long equal = 0;
            Optional<Decision> here = journal.next();
            Optional<Decision> there = replay.next();
            while (here.isPresent() && here.equals(there)) {
                equal++;
                here = journal.next();
                there = replay.next();
            }
            boolean complete = here.isEmpty() && (there.isEmpty() || !recorded.wasStopped());
            List<String> differences = complete ? List.of() : differences(equal, here, there);
            long decisions = equal;
            while (here.isPresent()) {
                decisions++;
                here = journal.next();
            }
            return new Comparison(decisions, differences);
        }
    }

    private static List<String> differences(long equal, Optional<Decision> journal, Optional<Decision> replay) {
        return List.of(
                "the first " + equal + " are equal, then",
                "  the journal has  " + words(journal),
                "  the replay has   " + words(replay));
    }

    private static String words(Optional<Decision> decision) {
        return decision.map(Decision::toString).orElse("no more");
    }
}
