package instep.rehearsal;

import instep.journal.Key;
import instep.journal.Kind;
import java.util.ArrayList;
import java.util.EnumSet;
import java.util.List;
import java.util.Map;
import java.util.Set;

/**
 * What was decided in a run: a gesture, a transition, a cut, a mark, the beginning or the end of a take. Two runs with the same edges and the same
 * mapping have equal decisions in all their fields. Only the numbers of records differ where one journal tells of more than the other: a cause is compared as
 * the input that it names, by its place among the inputs, and what was confirmed as the cut that it names.
 *
 * @param mono its monotonic time in nanoseconds
 * @param cause its place among the inputs, or that of the cut among the cuts, from 0; -1: none
 */
public record Decision(String at, long mono, String tc, Kind kind, Map<String, Object> fields, int cause) {
    /** No confirmations: they come from gear, which was asked for other things by another mapping. */
    private static final Set<Kind> FOR_THE_CUT_LIST = EnumSet.of(Kind.CUT, Kind.TAKE_OPEN, Kind.TAKE_CLOSE, Kind.MARK);

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
