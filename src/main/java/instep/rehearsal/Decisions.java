package instep.rehearsal;

import instep.journal.Entry;
import instep.journal.Key;
import instep.journal.Kind;
import java.util.ArrayList;
import java.util.EnumSet;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Set;

/**
 * What was decided in a run: gestures, transitions, cuts, marks, and the ends of takes, in the order of the journal. Two runs with the same edges and the same
 * mapping have equal decisions in all their fields. Only the numbers of records differ where one journal tells of more than the other: a cause is compared as
 * the input that it names, by its place among the inputs, and what was confirmed as the cut that it names.
 */
public final class Decisions {
    private static final Set<Kind> DECIDED = EnumSet.of(
            Kind.GESTURE, Kind.TRANSITION, Kind.CUT, Kind.CONFIRMED, Kind.TAKE_OPEN, Kind.TAKE_CLOSE, Kind.MARK);

    /** No confirmations: they come from gear, which was asked for other things by another mapping. */
    private static final Set<Kind> FOR_THE_CUT_LIST = EnumSet.of(Kind.CUT, Kind.TAKE_OPEN, Kind.TAKE_CLOSE, Kind.MARK);

    /** A decision, with its cause as the place among the inputs (-1: none). */
    public record Decision(String at, long mono, String tc, Kind kind, Map<String, Object> fields, int cause) {
        /** Whether the cut list could tell the difference. */
        boolean counts() {
            return FOR_THE_CUT_LIST.contains(kind);
        }

        @Override
        public String toString() {
            List<String> words = new ArrayList<>(List.of(tc, kind.word()));
            for (String key : List.of(Key.EVENT, Key.FROM, Key.TO, Key.ANGLE, Key.TAKE, Key.MARK, Key.TEXT, Key.BY)) {
                Object value = fields.get(key);
                if (value != null && !(kind == Kind.CUT && key.equals(Key.FROM))) {
                    words.add(value.toString());
                }
            }
            return String.join(" ", words);
        }
    }

    private Decisions() {}

    public static List<Decision> of(List<Entry> run) {
        Map<Long, Integer> inputs = new HashMap<>();
        Map<Long, Integer> cuts = new HashMap<>();
        List<Decision> decisions = new ArrayList<>();
        for (Entry entry : run) {
            if (isInput(entry)) {
                inputs.put(entry.seq(), inputs.size());
            } else if (DECIDED.contains(entry.kind()) || isRollFault(entry)) {
                Map<String, Object> fields = new LinkedHashMap<>(entry.fields());
                fields.remove(Key.CAUSE);
                int cause = inputs.getOrDefault(entry.number(Key.CAUSE).orElse(-1), -1);
                if (entry.kind() == Kind.CUT) {
                    cuts.put(entry.seq(), cuts.size());
                } else if (entry.kind() == Kind.CONFIRMED) {
                    fields.remove(Key.TICKET);
                    cause = cuts.getOrDefault(entry.number(Key.TICKET).orElse(-1), -1);
                }
                decisions.add(new Decision(entry.at(), entry.mono(), entry.tc(), entry.kind(), fields, cause));
            }
        }
        return decisions;
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

    /**
     * Where two lists part, in words; empty if they are equal.
     *
     * @param recorded by the daemon
     * @param replayed with the same mapping
     * @param wasKilled whether the daemon ended without a stop: what was due then may be missing at its end
     */
    public static List<String> differences(List<Decision> recorded, List<Decision> replayed, boolean wasKilled) {
        int equal = 0;
        while (equal < Math.min(recorded.size(), replayed.size())
                && recorded.get(equal).equals(replayed.get(equal))) {
            equal++;
        }
        boolean complete = equal == recorded.size() && (wasKilled || equal == replayed.size());
        if (complete) {
            return List.of();
        }
        List<String> words = new ArrayList<>();
        words.add("the first " + equal + " are equal, then");
        words.add("  the journal has  " + (equal < recorded.size() ? recorded.get(equal) : "no more"));
        words.add("  the replay has   " + (equal < replayed.size() ? replayed.get(equal) : "no more"));
        return words;
    }

    /** What one mapping decides for the cut list and the other does not, in words. */
    public static List<String> changes(List<Decision> recorded, List<Decision> replayed) {
        List<String> before = told(recorded);
        List<String> after = told(replayed);
        List<String> words = new ArrayList<>();
        without(before, after).forEach(line -> words.add("  - " + line));
        without(after, before).forEach(line -> words.add("  + " + line));
        return words;
    }

    private static List<String> told(List<Decision> decisions) {
        return decisions.stream()
                .filter(Decision::counts)
                .map(Decision::toString)
                .toList();
    }

    /** The first, without as many of each as the second has. */
    private static List<String> without(List<String> all, List<String> others) {
        Map<String, Integer> counts = new HashMap<>();
        others.forEach(line -> counts.merge(line, 1, Integer::sum));
        return all.stream()
                .filter(line -> counts.merge(line, -1, Integer::sum) < 0)
                .toList();
    }
}
