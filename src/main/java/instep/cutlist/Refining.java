package instep.cutlist;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;

/** One go through all refinements, and the books about it. */
final class Refining {
    private final Take take;
    private final Refinements by;
    private final Pauses pauses;
    private final List<Passage> passages;
    private final List<Change> changes = new ArrayList<>();
    private List<Span> spans;
    private int absorbed;
    private int merged;
    private int islands;
    private long islandFrames;
    private int ends;
    private int movedPassages;

    Refining(Refined so, Refinements by, Pauses pauses) {
        this.take = so.take();
        this.by = by;
        this.pauses = pauses;
        this.passages = new ArrayList<>(so.dropped());
        this.spans = SpanList.asDecided(so.spans());
    }

    Refined refined() {
        trim(Refined.HEAD, take.in(), take.in() + by.head());
        trim(Refined.TAIL, take.out() - by.tail(), take.out());
        clean();
        if (by.retake().fate() != Retake.Fate.KEEP) {
            retake();
            clean();
        }
        tell(by.minimumShot(), new Change(Refined.MINIMUM, absorbed, islands, islandFrames));
        tell(by.mergeWithin(), new Change(Refined.MERGE, merged, 0, 0));
        spans = Leads.move(spans, by);
        tell(Math.max(by.leadGoing(), by.leadReturning()), new Change(Refined.LEAD, Leads.moved(spans), 0, 0));
        passages.sort(Comparator.comparingLong(Passage::in));
        return new Refined(take, spans, passages, changes);
    }

    /** What was asked for is told even if there was nothing to do. */
    private void tell(long length, Change change) {
        if (length > 0) {
            changes.add(change);
        }
    }

    private void trim(String why, long in, long out) {
        int cuts = SpanList.cuts(spans);
        long frames = drop(why, in, out);
        tell(out - in, new Change(why, cuts - SpanList.cuts(spans), frames > 0 ? 1 : 0, frames));
    }

    private long drop(String why, long in, long out) {
        return in < out ? drop(new Passage(why, in, out, true), in, out) : 0;
    }

    /** Leaves out what is still there of it; what is joined already is written down as one. */
    private long drop(Passage passage, long in, long out) {
        long frames = 0;
        for (Span span : spans) {
            long from = Math.max(span.in(), in);
            long to = Math.min(span.out(), out);
            if (from < to) {
                frames += to - from;
                write(new Passage(
                        passage.why(),
                        from,
                        to,
                        true,
                        from == in ? passage.decidedIn() : from,
                        to == out ? passage.decidedOut() : to));
            }
        }
        spans = SpanList.without(spans, in, out);
        return frames;
    }

    private void write(Passage passage) {
        int last = passages.size() - 1;
        Passage before = last < 0 ? passage : passages.get(last);
        if (before.out() == passage.in() && before.why().equals(passage.why())) {
            passages.set(
                    last,
                    new Passage(
                            passage.why(), before.in(), passage.out(), true, before.decidedIn(), passage.decidedOut()));
        } else {
            passages.add(passage);
        }
    }

    private void clean() {
        int before = SpanList.cuts(spans);
        spans = ShortSpans.absorb(spans, by.minimumShot());
        int between = SpanList.cuts(spans);
        spans = ShortSpans.merge(spans, by.mergeWithin());
        absorbed += before - between;
        merged += between - SpanList.cuts(spans);
    }

    private void retake() {
        List<Passage> found = RetakePassages.of(spans, take.marks(), by.retake(), List.copyOf(passages));
        int cuts = SpanList.cuts(spans);
        long frames = 0;
        long before = take.in();
        for (Passage passage : found) {
            if (passage.dropped()) {
                Passage there = snapped(passage, before);
                frames += drop(there, there.in(), there.out());
                before = there.out();
            } else {
                passages.add(passage);
            }
        }
        changes.add(new Change(Refined.RETAKE, cuts - SpanList.cuts(spans), found.size(), frames));
        tell(pauses.within(), new Change(Refined.SNAP, ends, movedPassages, 0));
        if (frames > 0) {
            islands();
        }
    }

    /** With its ends in pauses. One beyond which nothing is kept stays: a stub would be left there. */
    private Passage snapped(Passage passage, long before) {
        long in = isKept(passage.in() - 1) ? pauses.nearest(passage.in()) : passage.in();
        long out = isKept(passage.out()) ? pauses.nearest(passage.out()) : passage.out();
        long from = Math.max(Math.max(take.in(), before), in);
        long to = Math.min(take.out(), out);
        if (from >= to) {
            return passage;
        }
        Passage there = new Passage(passage.why(), from, to, true, passage.in(), passage.out());
        ends += there.moved();
        movedPassages += there.moved() > 0 ? 1 : 0;
        return there;
    }

    private boolean isKept(long frame) {
        return spans.stream().anyMatch(span -> span.in() <= frame && frame < span.out());
    }

    /** What is left between two dropped passages and is too short for a shot goes with them. */
    private void islands() {
        for (List<Span> run : SpanList.runs(spans)) {
            long frames = SpanList.out(run) - SpanList.in(run);
            if (frames < by.minimumShot()) {
                islands++;
                islandFrames += drop(Refined.MINIMUM, SpanList.in(run), SpanList.out(run));
                absorbed += run.size() - 1;
            }
        }
    }
}
