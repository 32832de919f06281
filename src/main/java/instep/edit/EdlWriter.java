package instep.edit;

import instep.cutlist.Clip;
import instep.cutlist.Piece;
import instep.cutlist.Placed;
import instep.cutlist.Source;
import instep.cutlist.Timeline;
import instep.time.FrameRate;
import java.text.Normalizer;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Locale;
import java.util.Set;
import java.util.stream.Stream;

/**
 * Writes an edit decision list of CMX 3600: cuts only, as long on the record side as on the source side, marks as comments. It keeps to what independent readers agree
 * about: fixed columns, the counting mode at the top, a clip's name below each event and nothing between the head and the first one.
 */
final class EdlWriter {
    /** Events have numbers of three digits. */
    static final int MOST_EVENTS = 999;

    private static final String PICTURE = "V";
    private static final String SOUND = "AA";
    private static final String BOTH = "AA/V";

    private final Timeline timeline;
    private final ReelNames reels;
    private final Set<String> told = new LinkedHashSet<>();

    private EdlWriter(Timeline timeline) {
        this.timeline = timeline;
        this.reels = new ReelNames(reelsOf(timeline));
    }

    private static Set<String> reelsOf(Timeline timeline) {
        Set<String> reels = new LinkedHashSet<>();
        Stream.concat(timeline.clips().stream(), timeline.sound().stream())
                .map(clip -> clip.source().reel())
                .filter(reel -> !reel.isEmpty())
                .sorted()
                .forEach(reels::add);
        return reels;
    }

    /**
     * An event of the list.
     *
     * @param clip which of the timeline's clips it shows; -1: it is sound alone
     */
    private record Event(String channel, Clip what, int clip) {}

    static Written write(Timeline timeline) {
        EdlWriter writer = new EdlWriter(timeline);
        List<Event> events = writer.events();
        List<Written.Document> files = new ArrayList<>();
        boolean split = events.size() > MOST_EVENTS;
        for (int from = 0; from < events.size(); from += MOST_EVENTS) {
            int number = 1 + from / MOST_EVENTS;
            List<Event> some = events.subList(from, Math.min(events.size(), from + MOST_EVENTS));
            files.add(new Written.Document(split ? String.valueOf(number) : "", writer.file(some, split ? number : 0)));
        }
        return new Written(files, writer.losses(files.size()));
    }

    static List<String> losses(Timeline timeline) {
        EdlWriter writer = new EdlWriter(timeline);
        return writer.losses((writer.events().size() + MOST_EVENTS - 1) / MOST_EVENTS);
    }

    /** One list for all channels, in the order of the record side; sound that is cut with the picture stands in the same event. */
    private List<Event> events() {
        boolean follows = timeline.layout().sound().follows();
        List<Event> events = new ArrayList<>();
        for (int i = 0; i < timeline.clips().size(); i++) {
            events.add(new Event(follows ? BOTH : PICTURE, timeline.clips().get(i), i));
        }
        if (!follows) {
            timeline.sound().forEach(clip -> events.add(new Event(SOUND, clip, -1)));
        }
        events.sort(Comparator.comparingLong(event -> event.what().record()));
        return events;
    }

    private String file(List<Event> events, int part) {
        told.clear();
        StringBuilder out = new StringBuilder();
        line(out, "TITLE: " + capitals(timeline.title() + (part > 0 ? " PART " + part : "")));
        line(out, "FCM: " + (timeline.rate().isDropFrame() ? "DROP FRAME" : "NON-DROP FRAME"));
        line(out, "");
        int number = 0;
        for (Event event : events) {
            event(out, ++number, event);
        }
        return out.toString();
    }

    private void event(StringBuilder out, int number, Event event) {
        Clip clip = event.what();
        String reel = reels.of(clip.source().reel());
        line(
                out,
                String.format(
                        Locale.ROOT,
                        "%03d  %-8s %-4s  %-4s %3s %s %s %s %s",
                        number,
                        reel,
                        event.channel(),
                        "C",
                        "",
                        timeline.sourceIn(clip),
                        timeline.sourceOut(clip),
                        timeline.record(clip.record()),
                        timeline.record(clip.recordOut())));
        line(out, "* FROM CLIP NAME:  " + name(clip.source()));
        if (!clip.source().reel().isEmpty() && !clip.source().reel().equals(reel) && told.add(reel)) {
            line(out, "* REEL " + reel + " IS " + plain(clip.source().reel()));
        }
        for (Placed mark : timeline.marks()) {
            if (mark.clip() == event.clip()) {
                line(out, mark(mark));
            }
        }
    }

    /** The name of the file, if it is known which it is. */
    private String name(Source source) {
        Piece piece = source.piece(timeline.layout().active());
        return piece.isPlaced()
                ? plain(piece.file().substring(piece.file().lastIndexOf('/') + 1))
                : capitals(timeline.name(source));
    }

    /** The place of a mark is that on the record side. A comment of this form is a marker to the adapter {@code cmx_3600} of OpenTimelineIO; to other readers it is a comment. */
    private String mark(Placed mark) {
        String until = mark.frames() > 0 ? " UNTIL " + timeline.record(mark.record() + mark.frames()) : "";
        String text = mark.name() + (mark.text().isEmpty() ? "" : " " + mark.text()) + until;
        return String.format(
                Locale.ROOT,
                "* LOC: %s %-7s %s",
                timeline.record(mark.record()),
                Colours.of(mark.name()),
                capitals(text));
    }

    private List<String> losses(int files) {
        List<String> losses = new ArrayList<>();
        FrameRate rate = timeline.rate();
        losses.add("it does not hold its frame rate: say " + rate.label() + " when you open it");
        if (rate.counted() > 30) {
            losses.add("it was made for 30 frames a second at most, and this one counts up to " + (rate.counted() - 1));
        }
        losses.add("the paths of files have no place in it, only reels and names");
        if (timeline.layout().handles() > 0) {
            losses.add("handles have no place in it");
        }
        if (files > 1) {
            losses.add("it holds " + MOST_EVENTS + " events at most: there are " + files
                    + " files, which go on one another");
        }
        for (String reel : reelsOf(timeline)) {
            if (!reels.of(reel).equals(reel)) {
                losses.add("the reel " + reel + " is called " + reels.of(reel));
            }
        }
        if (timeline.clips().stream().anyMatch(clip -> clip.source().reel().isEmpty())) {
            losses.add("shots without a reel are of " + ReelNames.AUXILIARY + ", which stands for an unknown source");
        }
        midnight(losses);
        return losses;
    }

    private void midnight(List<String> losses) {
        long day = timeline.rate().framesPerDay();
        boolean passes = timeline.clips().stream()
                .anyMatch(clip -> Math.floorDiv(timeline.labelledIn(clip), day)
                        != Math.floorDiv(timeline.labelledIn(clip) + clip.frames() - 1, day));
        if (passes) {
            losses.add(
                    "the source timecode passes midnight, where its labels begin again: some readers cannot go on counting");
        }
        if (timeline.layout().start() + timeline.frames() > day) {
            losses.add("the record timecode passes midnight, where its labels begin again: begin earlier");
        }
    }

    private static void line(StringBuilder out, String text) {
        out.append(text.stripTrailing()).append("\r\n");
    }

    private static String capitals(String text) {
        return plain(text).toUpperCase(Locale.ROOT);
    }

    /** ASCII alone, on one line: letters lose their accents, anything else that is foreign becomes an underscore. */
    private static String plain(String text) {
        return Normalizer.normalize(text, Normalizer.Form.NFD)
                .replaceAll("\\p{M}+", "")
                .replaceAll("\\s+", " ")
                .replaceAll("[^\\x20-\\x7e]", "_")
                .strip();
    }
}
