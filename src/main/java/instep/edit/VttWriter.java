package instep.edit;

import instep.cutlist.Mark;
import instep.cutlist.Placed;
import instep.cutlist.Timeline;
import java.math.BigInteger;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;

/** Writes WebVTT: a file of chapters that follow each other, and one of marks. Times count from the beginning of the programme. */
final class VttWriter {
    static final List<String> LOSSES = List.of(
            "shots and timecode have no place in it: its times count from the beginning of the programme",
            "times are in thousandths of a second, not in frames");

    /** So long a mark that is a point is shown. */
    private static final long SHOWN_MILLIS = 2_000;

    private final Timeline timeline;

    private VttWriter(Timeline timeline) {
        this.timeline = timeline;
    }

    /** A cue, in milliseconds. */
    private record Cue(long from, long to, String text) {}

    static Written write(Timeline timeline) {
        VttWriter writer = new VttWriter(timeline);
        return new Written(
                List.of(
                        new Written.Document("", writer.file("chapters", writer.chapters())),
                        new Written.Document("marks", writer.file("marks", writer.marks()))),
                LOSSES);
    }

    /** What is before the first chapter mark is a chapter, too. */
    private List<Cue> chapters() {
        List<Placed> marks = timeline.marks().stream()
                .filter(mark -> mark.name().equals(Mark.CHAPTER))
                .toList();
        List<Cue> cues = new ArrayList<>();
        long from = 0;
        String text = timeline.title();
        int number = 0;
        for (Placed mark : marks) {
            add(cues, from, millis(mark.record()), text);
            from = millis(mark.record());
            number++;
            text = mark.text().isBlank() ? "chapter " + number : mark.text();
        }
        add(cues, from, millis(timeline.frames()), text);
        return cues;
    }

    private List<Cue> marks() {
        List<Cue> cues = new ArrayList<>();
        for (Placed mark : timeline.marks()) {
            long from = millis(mark.record());
            long to = mark.frames() > 0 ? millis(mark.record() + mark.frames()) : from + SHOWN_MILLIS;
            add(cues, from, to, mark.text().isBlank() ? mark.name() : mark.name() + ": " + mark.text());
        }
        return cues;
    }

    /** A cue has a length. */
    private static void add(List<Cue> cues, long from, long to, String text) {
        if (to > from) {
            cues.add(new Cue(from, to, text));
        }
    }

    private String file(String kind, List<Cue> cues) {
        StringBuilder out = new StringBuilder("WEBVTT ")
                .append(header(timeline.title()))
                .append(", ")
                .append(kind)
                .append('\n');
        int number = 0;
        for (Cue cue : cues) {
            out.append('\n').append(++number).append('\n');
            out.append(timestamp(cue.from())).append(" --> ").append(timestamp(cue.to()));
            out.append('\n').append(payload(cue.text())).append('\n');
        }
        return out.toString();
    }

    private static String header(String text) {
        return text.replaceAll("\\s+", " ").replace("-->", "->");
    }

    private static String payload(String text) {
        return text.replaceAll("\\s+", " ")
                .strip()
                .replace("&", "&amp;")
                .replace("<", "&lt;")
                .replace(">", "&gt;");
    }

    private long millis(long frames) {
        BigInteger thousandths = BigInteger.valueOf(frames)
                .multiply(BigInteger.valueOf(timeline.rate().denominator() * 1_000L));
        BigInteger rate = BigInteger.valueOf(timeline.rate().numerator());
        return thousandths.add(rate.shiftRight(1)).divide(rate).longValueExact();
    }

    private static String timestamp(long millis) {
        return String.format(
                Locale.ROOT,
                "%02d:%02d:%02d.%03d",
                millis / 3_600_000,
                millis / 60_000 % 60,
                millis / 1_000 % 60,
                millis % 1_000);
    }
}
