package instep.cutlist;

import java.util.ArrayList;
import java.util.List;

/**
 * A take after its refinements: spans and dropped passages together are the take, frame by frame. Refining it again in the same way changes nothing.
 *
 * <p>Everything but the lead judges cuts by where they were decided, so that a slip does not hide behind a lead. The order: head and tail, minimum-shot and
 * merge-within, retake and with it snap, these two again in what that left, lead.
 *
 * @param passages what was dropped or flagged, in the order of the take
 * @param changes what each refinement has done that was asked for, in their order
 */
public record Refined(Take take, List<Span> spans, List<Passage> passages, List<Change> changes) {
    static final String HEAD = "head";
    static final String TAIL = "tail";
    static final String MINIMUM = "minimum-shot";
    static final String MERGE = "merge-within";
    static final String RETAKE = "retake";
    static final String SNAP = "snap";
    static final String LEAD = "lead";

    public Refined {
        spans = List.copyOf(spans);
        passages = List.copyOf(passages);
        changes = List.copyOf(changes);
    }

    /** Refines a take. */
    public static Refined of(Take take, Refinements by) {
        return of(take, by, Pauses.NONE);
    }

    /** Refines a take to whose sound somebody has listened. */
    public static Refined of(Take take, Refinements by, Pauses pauses) {
        List<Span> spans = take.shots().stream().map(Span::of).toList();
        return new Refined(take, spans, List.of(), List.of()).refine(by, pauses);
    }

    /** Refines what was refined; the changes are those of this time. */
    public Refined refine(Refinements by, Pauses pauses) {
        return new Refining(this, by, pauses).refined();
    }

    /** How long the programme is. */
    public long frames() {
        return spans.stream().mapToLong(Span::frames).sum();
    }

    /** How many cuts join the spans; where something was left out, two meet without one. */
    public int cuts() {
        return SpanList.cuts(spans);
    }

    /** What was left out. */
    public List<Passage> dropped() {
        return passages.stream().filter(Passage::dropped).toList();
    }

    /** What stays and should be looked at. */
    public List<Passage> flagged() {
        List<Passage> flagged = new ArrayList<>(passages);
        flagged.removeIf(Passage::dropped);
        return flagged;
    }
}
