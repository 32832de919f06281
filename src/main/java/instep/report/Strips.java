package instep.report;

import instep.cutlist.Shot;
import instep.cutlist.Span;
import instep.cutlist.Takes;
import instep.time.Durations;
import java.util.ArrayList;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Locale;
import java.util.Set;

/** What pictures of takes have in common, whatever they are drawn with. */
final class Strips {
    /** How many looks there are; with more angles only lanes and names tell them apart. */
    static final int LOOKS = 8;
    /** Longer sentences nobody listens to. */
    private static final int MOST_SPOKEN = 12;

    private Strips() {}

    /** What was on air, before any refinement. */
    static List<Span> onAir(TakeStory story) {
        List<Span> spans = new ArrayList<>();
        for (Shot shot : story.take().shots()) {
            spans.add(new Span(shot.angle(), shot.in(), shot.returning(), shot.in(), shot.out()));
        }
        return spans;
    }

    /** The angles that were on air at all. */
    static List<String> lanes(TakeStory story) {
        Set<String> used = new LinkedHashSet<>();
        story.take().shots().forEach(shot -> used.add(shot.angle()));
        List<String> lanes = new ArrayList<>(story.angles());
        lanes.retainAll(used);
        used.removeAll(lanes);
        lanes.addAll(used);
        return lanes;
    }

    /** How an angle's bars look, from 0: the same in all takes. */
    static int look(TakeStory story, String angle) {
        int at = story.angles().indexOf(angle);
        return Math.floorMod(at < 0 ? LOOKS - 1 : at, LOOKS);
    }

    /** The letter for a mark. */
    static String sign(String mark) {
        if (mark.equals(Takes.RESUMED)) {
            return "~"; // a retake has the same letter
        }
        return mark.isEmpty() ? "?" : Letters.shown(mark.codePointAt(0)).toUpperCase(Locale.ROOT);
    }

    /** A shot in words. */
    static String words(TakeStory story, Span span) {
        return TakeStory.name(span.angle()) + " " + story.label(span.in()) + " to " + story.labelAfter(span.out())
                + ", " + Durations.ofFrames(span.frames(), story.rate());
    }

    /** A row in words, for those who do not see it. */
    static String words(TakeStory story, List<Span> spans, Fold.Row row) {
        List<String> angles = spans.stream()
                .filter(span -> span.in() < row.out() && span.out() > row.in())
                .map(span -> TakeStory.name(span.angle()))
                .toList();
        String listed = angles.size() <= MOST_SPOKEN
                ? String.join(", ", angles)
                : String.join(", ", angles.subList(0, MOST_SPOKEN)) + " and " + (angles.size() - MOST_SPOKEN) + " more";
        return "On air from " + story.label(row.in()) + " to " + story.labelAfter(row.out()) + ": " + listed
                + ". The table of cuts has the times.";
    }
}
