package instep.cutlist;

import java.util.ArrayList;
import java.util.List;

/** Finds what went wrong: for each retake mark, from the last clean point to the mark. */
final class RetakePassages {
    private RetakePassages() {}

    /** In the order of the take; they do not overlap. A mark because of which something has been left out already finds nothing. */
    static List<Passage> of(List<Span> spans, List<Mark> marks, Retake retake, List<Passage> dropped) {
        List<Passage> found = new ArrayList<>();
        for (List<Span> run : SpanList.runs(spans)) {
            for (Mark mark : marks) {
                boolean within = mark.frame() > SpanList.in(run) && mark.frame() <= SpanList.out(run);
                boolean settled = dropped.stream().anyMatch(passage -> passage.settles(mark.frame()));
                if (within && !settled && mark.name().equals(Mark.RETAKE)) {
                    long from = lastClean(run, marks, retake, mark.frame());
                    if (from < mark.frame()) {
                        found.add(new Passage(Refined.RETAKE, from, mark.frame(), retake.fate() == Retake.Fate.DROP));
                    }
                }
            }
        }
        return found;
    }

    private static long lastClean(List<Span> run, List<Mark> marks, Retake retake, long restart) {
        long from = SpanList.in(run);
        if (retake.atMost() > 0) {
            from = Math.max(from, restart - retake.atMost());
        }
        if (retake.since().contains(Retake.CleanPoint.CUT)) {
            for (Span span : run) {
                from = span.in() < restart ? Math.max(from, span.in()) : from;
            }
        }
        for (Mark mark : marks) {
            from = mark.frame() < restart && retake.isClean(mark) ? Math.max(from, mark.frame()) : from;
        }
        return from;
    }
}
