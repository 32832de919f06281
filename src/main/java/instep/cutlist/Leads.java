package instep.cutlist;

import java.util.ArrayList;
import java.util.List;

/** Moves cuts to before the foot came: a person reacts late, and a picture that is early by a little is not seen as early. */
final class Leads {
    private Leads() {}

    /** Never so far that a span before a cut becomes too short, so that no cut crosses another or the beginning of a run. */
    static List<Span> move(List<Span> spans, Refinements by) {
        List<Span> all = new ArrayList<>();
        for (List<Span> run : SpanList.runs(spans)) {
            List<Span> moved = new ArrayList<>(run);
            for (int i = 1; i < run.size(); i++) {
                Span before = moved.get(i - 1);
                Span span = run.get(i);
                long lead = span.returning() ? by.leadReturning() : by.leadGoing();
                long at = Math.max(span.in() - lead, Math.min(span.in(), before.in() + by.shortest()));
                moved.set(i - 1, before.to(at));
                moved.set(i, span.from(at));
            }
            all.addAll(moved);
        }
        return all;
    }

    /** How many cuts are not where they were decided. */
    static int moved(List<Span> spans) {
        int moved = 0;
        for (List<Span> run : SpanList.runs(spans)) {
            moved += (int) run.stream()
                    .skip(1)
                    .filter(span -> span.in() != span.decided())
                    .count();
        }
        return moved;
    }
}
