package instep.cutlist;

import java.util.ArrayList;
import java.util.List;

/** What is done with lists of spans whatever refinement does it. A run is a list of spans that are joined by cuts. */
final class SpanList {
    private SpanList() {}

    /** Takes the list apart where something was left out. */
    static List<List<Span>> runs(List<Span> spans) {
        List<List<Span>> runs = new ArrayList<>();
        for (int i = 0; i < spans.size(); i++) {
            if (i == 0 || spans.get(i).in() != spans.get(i - 1).out()) {
                runs.add(new ArrayList<>());
            }
            runs.get(runs.size() - 1).add(spans.get(i));
        }
        return runs;
    }

    /** How many cuts join spans. */
    static int cuts(List<Span> spans) {
        return spans.size() - runs(spans).size();
    }

    /** Leaves out the frames from {@code in} up to {@code out}. */
    static List<Span> without(List<Span> spans, long in, long out) {
        List<Span> kept = new ArrayList<>();
        for (Span span : spans) {
            if (span.in() < Math.min(span.out(), in)) {
                kept.add(span.to(Math.min(span.out(), in)));
            }
            if (span.out() > Math.max(span.in(), out)) {
                kept.add(span.from(Math.max(span.in(), out)));
            }
        }
        return kept;
    }

    /** Puts each cut back to where it was decided. */
    static List<Span> asDecided(List<Span> spans) {
        List<Span> all = new ArrayList<>();
        for (List<Span> run : runs(spans)) {
            for (int i = 0; i < run.size(); i++) {
                Span span = run.get(i);
                long in = i == 0 ? span.in() : span.decided();
                long out = i + 1 < run.size() ? run.get(i + 1).decided() : span.out();
                all.add(new Span(span.angle(), span.decided(), span.returning(), in, out));
            }
        }
        return all;
    }

    /** The first frame of a run. */
    static long in(List<Span> run) {
        return run.get(0).in();
    }

    /** The frame after the last of a run. */
    static long out(List<Span> run) {
        return run.get(run.size() - 1).out();
    }
}
