package instep.rehearsal;

import java.io.IOException;
import java.util.ArrayDeque;
import java.util.Comparator;
import java.util.Deque;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.stream.Stream;

/**
 * What one mapping decides for the cut list and another does not, from the same run. Both journals are read side by side, by their time, and what both have cancels out: in memory is what only one of
 * them has, 200 bytes or so each. Not thread-safe.
 */
public final class Changes {
    private final Surplus before = new Surplus();
    private final Surplus after = new Surplus();

    private Changes() {}

    /** A line that one has and the other, so far, has not; and how many such lines it had before. */
    private record Told(long place, String line) {}

    /** What one of both has more of. */
    private static final class Surplus {
        private final Map<String, Deque<Long>> places = new HashMap<>();
        private long count;
        private long told;

        /** The oldest of each line is the first to go, whenever the other comes to tell it. */
        boolean takeBack(String line) {
            Deque<Long> same = places.get(line);
            if (same == null) {
                return false;
            }
            same.remove();
            count--;
            if (same.isEmpty()) {
                places.remove(line);
            }
            return true;
        }

        void add(String line) {
            places.computeIfAbsent(line, any -> new ArrayDeque<>(1)).add(told++);
            count++;
        }

        Stream<String> lines() {
            return places.entrySet().stream()
                    .flatMap(same -> same.getValue().stream().map(place -> new Told(place, same.getKey())))
                    .sorted(Comparator.comparingLong(Told::place))
                    .map(Told::line);
        }
    }

    /** Compares a run with what another mapping made of it. */
    public static Changes between(RecordedRun recorded, RecordedRun replayed) throws IOException {
        Changes changes = new Changes();
        try (DecisionReader journal = DecisionReader.of(recorded);
                DecisionReader replay = DecisionReader.of(replayed)) {
            Optional<Decision> here = journal.next();
            Optional<Decision> there = replay.next();
            while (here.isPresent() || there.isPresent()) {
                if (there.isEmpty()
                        || (here.isPresent() && here.get().mono() <= there.get().mono())) {
                    tell(here.orElseThrow(), changes.before, changes.after);
                    here = journal.next();
                } else {
                    tell(there.get(), changes.after, changes.before);
                    there = replay.next();
                }
            }
        }
        return changes;
    }

    private static void tell(Decision decision, Surplus own, Surplus other) {
        if (decision.counts()) {
            String line = decision.toString();
            if (!other.takeBack(line)) {
                own.add(line);
            }
        }
    }

    /** How many there are. */
    public long count() {
        return before.count + after.count;
    }

    /** In words, at most so many: first what only the run has, then what only the other mapping makes of it. */
    public List<String> lines(int most) {
        return Stream.concat(
                        before.lines().map(line -> "  - " + line), after.lines().map(line -> "  + " + line))
                .limit(most)
                .toList();
    }
}
