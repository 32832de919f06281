package instep.cutlist;

import java.util.ArrayList;
import java.util.List;

/** Takes away what nobody meant to show: spans that are too short, and an angle's short absence. A run keeps its first frame and its last. */
final class ShortSpans {
    private ShortSpans() {}

    /** Joins what is too short to what was there before it; at the beginning of a run, to what comes after. */
    static List<Span> absorb(List<Span> spans, long minimum) {
        List<Span> all = new ArrayList<>();
        SpanList.runs(spans).forEach(run -> all.addAll(absorbed(run, minimum)));
        return all;
    }

    private static List<Span> absorbed(List<Span> run, long minimum) {
        List<Span> kept = new ArrayList<>();
        long in = SpanList.in(run);
        for (Span span : run) {
            Span here = kept.isEmpty() ? span.from(in) : span;
            int last = kept.size() - 1;
            if (here.frames() >= minimum && (last < 0 || !kept.get(last).angle().equals(here.angle()))) {
                kept.add(here);
            } else if (last >= 0) {
                kept.set(last, kept.get(last).to(here.out()));
            }
        }
        return kept.isEmpty() ? List.of(run.get(0).to(SpanList.out(run))) : kept;
    }

    /** An angle that comes back within so many frames was never left. */
    static List<Span> merge(List<Span> spans, long within) {
        List<Span> all = new ArrayList<>();
        SpanList.runs(spans).forEach(run -> all.addAll(merged(run, within)));
        return all;
    }

    private static List<Span> merged(List<Span> run, long within) {
        List<Span> kept = new ArrayList<>();
        for (Span span : run) {
            int last = kept.size() - 1;
            if (last > 0
                    && kept.get(last).frames() <= within
                    && kept.get(last - 1).angle().equals(span.angle())) {
                kept.remove(last);
                kept.set(last - 1, kept.get(last - 1).to(span.out()));
            } else {
                kept.add(span);
            }
        }
        return kept;
    }
}
