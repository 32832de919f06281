package instep.report;

import instep.cutlist.Mark;
import instep.cutlist.Passage;
import instep.cutlist.Span;
import instep.time.Durations;
import java.util.Arrays;
import java.util.Collection;
import java.util.List;

/** A take as a picture of characters, no wider than it is told. */
public final class TextReport {
    /** The least width in which a picture says something. */
    public static final int NARROWEST = 40;

    private static final int GUTTER = 14;

    private final TakeStory story;
    private final Wrapped text;
    private final int cells;

    private TextReport(TakeStory story, int width) {
        this.story = story;
        this.text = new Wrapped(width);
        this.cells = (int) Math.max(1, Math.min(width - GUTTER, story.take().frames()));
    }

    /**
     * The picture.
     *
     * @param width of the terminal in columns
     */
    public static String of(TakeStory story, int width) {
        TextReport report = new TextReport(story, Math.max(NARROWEST, width));
        report.write();
        return report.text.toString();
    }

    /** What is lost where the cut lists are written, below all takes. */
    public static String of(Collection<Loss> losses, int width) {
        Wrapped out = new Wrapped(Math.max(NARROWEST, width));
        if (!losses.isEmpty()) {
            out.paragraph("What a file of the cut list cannot say:");
        }
        losses.forEach(loss -> out.paragraph(loss.format() + " " + loss.words()));
        return out.toString();
    }

    private void write() {
        long in = story.take().in();
        text.paragraph("Take " + story.take().number() + " of " + story.day() + ": "
                + Durations.ofFrames(story.take().frames(), story.rate()) + " recorded, "
                + Durations.ofFrames(story.refined().frames(), story.rate()) + " in the cut list, "
                + story.shots()
                + (story.take().closed() ? "" : "; never closed: it ends with the last that is known"));
        if (story.take().frames() == 0) {
            text.line("");
            return;
        }
        ends(in, story.take().out());
        List<Span> onAir = Strips.onAir(story);
        lanes(story.isChanged() ? "on air" : "", onAir, List.of());
        if (story.isChanged()) {
            lanes("cut list", story.refined().spans(), story.refined().passages());
        }
        marks();
        troubles();
        text.paragraph("# on air for most of a column, - for some of it"
                + (story.refined().dropped().isEmpty() ? "" : ", x left out") + legend());
        figures();
        links();
        text.paragraph("timecode: " + GearTables.SyncWords.of(story.trail().sync(), story.take(), story.rate()));
        text.line("");
    }

    /** The label of the first frame at the left, that of the end at the right. */
    private void ends(long in, long end) {
        String left = story.label(in).toString();
        String right = story.labelAfter(end).toString();
        int between = cells - left.length() - right.length();
        line("", between < 1 ? left : left + " ".repeat(between) + right);
    }

    private void lanes(String group, List<Span> spans, List<Passage> passages) {
        if (!group.isEmpty()) {
            line(group, "");
        }
        for (String angle : Strips.lanes(story)) {
            long[] dropped = new long[cells];
            for (Passage passage : passages) {
                if (passage.dropped()) {
                    add(dropped, passage.in(), passage.out());
                }
            }
            long[] shown = new long[cells];
            spans.stream()
                    .filter(span -> span.angle().equals(angle))
                    .forEach(span -> add(shown, span.in(), span.out()));
            line("  " + TakeStory.name(angle), lane(shown, dropped));
        }
    }

    private char[] empty() {
        char[] lane = new char[cells];
        Arrays.fill(lane, ' ');
        return lane;
    }

    /** How many frames of each column there are. */
    private void add(long[] lane, long in, long out) {
        for (int cell = cell(in); cell <= cell(out - 1); cell++) {
            lane[cell] += Math.max(0, Math.min(out, frame(cell + 1)) - Math.max(in, frame(cell)));
        }
    }

    /** Whatever there is of a shot is seen, however short it is. */
    private String lane(long[] shown, long[] dropped) {
        char[] lane = empty();
        for (int cell = 0; cell < cells; cell++) {
            if (shown[cell] > 0) {
                lane[cell] = 2 * shown[cell] > frame(cell + 1) - frame(cell) ? '#' : '-';
            } else if (dropped[cell] > 0) {
                lane[cell] = 'x';
            }
        }
        return new String(lane);
    }

    private long frame(int cell) {
        return story.take().in() + story.take().frames() * cell / cells;
    }

    private int cell(long frame) {
        int cell = (int) Math.min(
                cells - 1L, (frame - story.take().in()) * cells / story.take().frames());
        while (cell + 1 < cells && frame(cell + 1) <= frame) {
            cell++;
        }
        return cell;
    }

    private void marks() {
        char[] lane = empty();
        for (Mark mark : story.take().marks()) {
            sign(lane, mark.frame(), Strips.sign(mark.name()).charAt(0));
        }
        if (!story.take().marks().isEmpty()) {
            line("  marks", new String(lane));
        }
    }

    /** What the letters of marks mean. */
    private String legend() {
        return story.take().marks().stream()
                        .map(Mark::name)
                        .distinct()
                        .map(name -> ", " + Strips.sign(name) + " " + name)
                        .reduce("", String::concat)
                + (story.take().marks().size() > 1 ? ", + several" : "");
    }

    private void troubles() {
        char[] lane = empty();
        for (Trouble trouble : story.trail().troubles()) {
            sign(lane, trouble.frame(), '!');
        }
        if (!story.trail().troubles().isEmpty()) {
            line("  faults", new String(lane));
        }
        for (Trouble trouble : story.trail().troubles()) {
            text.paragraph("!! " + story.label(trouble.frame()) + " " + trouble.word() + " "
                    + (trouble.gear().isEmpty() ? "" : trouble.gear() + ": ") + trouble.text());
        }
        if (story.trail().more() > 0) {
            text.paragraph("!! and " + story.trail().more() + " more, which the journal has");
        }
    }

    private void sign(char[] lane, long frame, char sign) {
        if (frame >= story.take().in() && frame < story.take().out()) {
            int cell = cell(frame);
            lane[cell] = lane[cell] == ' ' || lane[cell] == sign ? sign : '+';
        }
    }

    private void figures() {
        for (AngleFigures angle :
                AngleFigures.of(story.angles(), story.refined().spans())) {
            if (angle.shots() > 0) {
                text.paragraph(TakeStory.name(angle.angle()) + ": " + angle.shots()
                        + (angle.shots() == 1 ? " shot, " : " shots, ")
                        + Durations.ofFrames(angle.total(), story.rate()) + " ("
                        + Tables.tenths(angle.permille(story.refined().frames())) + " %), median "
                        + Durations.ofFrames(angle.median(), story.rate()));
            }
        }
    }

    private void links() {
        for (LinkFigures link : story.trail().links()) {
            String sent = link.sent().count() == 0 ? "" : ", sent in " + GearTables.LinkWords.spread(link.sent());
            String said =
                    link.confirmed().count() == 0 ? "" : ", on air in " + GearTables.LinkWords.spread(link.confirmed());
            String wrong = GearTables.LinkWords.wrong(link);
            text.paragraph(
                    link.gear() + ": " + link.sent().count() + (link.sent().count() == 1 ? " message" : " messages")
                            + sent + said + (sent.isEmpty() && said.isEmpty() ? "" : " (half / 95 of 100 / all)")
                            + (wrong.equals("nothing") ? "" : "; " + wrong));
        }
    }

    private void line(String name, String drawn) {
        String shown = Letters.shown(name);
        String head = shown.length() < GUTTER ? shown : shown.substring(0, GUTTER - 2) + "~";
        text.line(head + " ".repeat(GUTTER - head.length()) + drawn);
    }
}
