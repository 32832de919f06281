package instep.report;

import instep.cutlist.Mark;
import instep.cutlist.Passage;
import instep.cutlist.Span;
import instep.time.Durations;
import java.io.IOException;
import java.util.List;
import java.util.Locale;

/**
 * The picture of a take: a lane for each angle, to scale, folded into rows. Places are told in percent of a row, so that the picture is as wide as the page while letters and patterns keep their
 * size.
 */
final class StripFigure {
    /** Signs that would stand nearer together than that, in percent of a row, are drawn as lines only. */
    private static final double NEAR = 3.5;

    private final Markup out;
    private final TakeStory story;
    private final Fold fold;
    private final List<Span> onAir;
    private final List<String> lanes;

    StripFigure(Markup out, TakeStory story) {
        this.out = out;
        this.story = story;
        this.fold = Fold.of(story.take(), story.rate());
        this.onAir = Strips.onAir(story);
        this.lanes = Strips.lanes(story);
    }

    void write() throws IOException {
        out.open("figure").line();
        out.element("figcaption", caption());
        key();
        for (Fold.Row row : fold.rows()) {
            row(row);
        }
        out.close().line();
    }

    private String caption() {
        String rows = fold.rows().size() > 1
                ? ", folded into rows of "
                        + Durations.ofFrames(fold.row(), story.rate()).replaceAll("\\.000$", "")
                : "";
        String changed = story.isChanged() ? " Above what was on air, below it what the cut list makes of it." : "";
        return "What was on air, a lane for each angle, to scale" + rows
                + ". The numbers on top are the time since the take began." + changed
                + " The tables below say the same in words.";
    }

    private void key() throws IOException {
        out.open("ul", "class", "key");
        for (String angle : lanes) {
            out.open("li");
            swatch(out, Strips.look(story, angle));
            out.text(TakeStory.name(angle)).close();
        }
        if (!story.refined().dropped().isEmpty()) {
            item("out", "50%", "left out");
        }
        if (!story.refined().flagged().isEmpty()) {
            item("flag", "90%", "flagged");
        }
        out.close().line();
    }

    private void item(String look, String y, String words) throws IOException {
        out.open("li").open("svg", "class", "swatch", "aria-hidden", "true");
        line(look, "0%", "100%", y);
        out.close().text(words).close();
    }

    /** A piece of an angle's bar. */
    static void swatch(Markup out, int look) throws IOException {
        out.open("svg", "class", "swatch", "aria-hidden", "true");
        out.element("rect", "", "class", "shot a" + look, "width", "100%", "height", "100%");
        if (look > 0) {
            out.element("line", "", "class", "over o" + look, "x2", "100%", "y1", "50%", "y2", "50%");
        }
        out.close();
    }

    private void row(Fold.Row row) throws IOException {
        out.open("div", "class", "row", "role", "img", "aria-label", Strips.words(story, onAir, row));
        out.line();
        scale(row);
        if (story.isChanged()) {
            out.element("span", "on air", "class", "group");
        }
        lanes(row, onAir, false);
        if (story.isChanged()) {
            out.element("span", "cut list", "class", "group");
            lanes(row, story.refined().spans(), true);
        }
        marks(row);
        troubles(row);
        out.close().line();
    }

    private void scale(Fold.Row row) throws IOException {
        out.element("span", story.label(row.in()).toString(), "class", "from");
        out.open("svg", "class", "scale");
        for (long tick : fold.ticks(row)) {
            double at = percent(tick, row);
            String anchor = at < 4 ? "start" : at > 94 ? "end" : "middle";
            out.element("line", "", "class", "tick", "x1", text(at), "x2", text(at), "y1", "12", "y2", "16");
            String since = Durations.ofFrames(tick - story.take().in(), story.rate());
            out.element(
                    "text", since.substring(0, since.indexOf('.')), "x", text(at), "y", "10", "text-anchor", anchor);
        }
        out.close().line();
    }

    private void lanes(Fold.Row row, List<Span> spans, boolean refined) throws IOException {
        for (String angle : lanes) {
            out.element("span", TakeStory.name(angle));
            out.open("svg", "class", "lane");
            out.element("rect", "", "class", "bed", "y", "7", "height", "2", "width", text(percent(row.out(), row)));
            for (Passage passage : refined ? story.refined().passages() : List.<Passage>of()) {
                piece(passage.in(), passage.out(), row)
                        .draw(passage.dropped() ? "out" : "flag", passage.dropped() ? "8" : "15");
            }
            int look = Strips.look(story, angle);
            for (Span span : spans) {
                if (span.angle().equals(angle)) {
                    piece(span.in(), span.out(), row).bar(look, Strips.words(story, span));
                }
            }
            out.close().line();
        }
    }

    private Piece piece(long in, long out, Fold.Row row) {
        return new Piece(Math.max(in, row.in()), Math.min(out, row.out()), row);
    }

    /** What of a stretch lies in a row; nothing, if it ends before it begins. */
    private final class Piece {
        private final boolean any;
        private final String from;
        private final String to;
        private final String width;

        Piece(long in, long out, Fold.Row row) {
            any = in < out;
            from = text(percent(in, row));
            to = text(percent(out, row));
            width = text(100.0 * (out - in) / fold.row());
        }

        void draw(String look, String y) throws IOException {
            if (any) {
                line(look, from, to, y);
            }
        }

        void bar(int look, String title) throws IOException {
            if (!any) {
                return;
            }
            out.open("rect", "class", "shot a" + look, "x", from, "y", "1", "width", width, "height", "14");
            out.element("title", title).close();
            if (look > 0) {
                line("over o" + look, from, to, "8");
            }
        }
    }

    private void line(String look, String from, String to, String y) throws IOException {
        out.element("line", "", "class", look, "x1", from, "x2", to, "y1", y, "y2", y);
    }

    private void marks(Fold.Row row) throws IOException {
        List<Mark> marks = story.take().marks().stream()
                .filter(mark -> row.holds(mark.frame()))
                .toList();
        if (marks.isEmpty()) {
            return;
        }
        begin("marks");
        double last = -NEAR;
        for (Mark mark : marks) {
            last = sign(row, mark.frame(), last, new Sign(Strips.sign(mark.name()), mark.name(), "tick", ""));
        }
        out.close().line();
    }

    private void troubles(Fold.Row row) throws IOException {
        List<Trouble> troubles = story.trail().troubles().stream()
                .filter(trouble -> row.holds(trouble.frame()))
                .toList();
        if (troubles.isEmpty()) {
            return;
        }
        begin("faults");
        double last = -NEAR;
        for (Trouble trouble : troubles) {
            String words = trouble.word() + " " + trouble.gear() + " " + trouble.text();
            last = sign(row, trouble.frame(), last, new Sign("!", words, "trouble", "bad"));
        }
        out.close().line();
    }

    private record Sign(String letter, String title, String line, String letters) {}

    private void begin(String name) throws IOException {
        out.element("span", name);
        out.open("svg", "class", "signs");
    }

    /** Gives where the last letter stands. */
    private double sign(Fold.Row row, long frame, double last, Sign sign) throws IOException {
        double at = percent(frame, row);
        out.open("line", "class", sign.line, "x1", text(at), "x2", text(at), "y1", "0", "y2", "16")
                .element("title", sign.title)
                .close();
        if (at - last < NEAR) {
            return last;
        }
        String anchor = at > 96 ? "end" : "start";
        String shift = at > 96 ? "-3" : "3";
        out.element(
                "text",
                sign.letter,
                "class",
                sign.letters,
                "x",
                text(at),
                "dx",
                shift,
                "y",
                "12",
                "text-anchor",
                anchor);
        return at;
    }

    private double percent(long frame, Fold.Row row) {
        return 100.0 * (frame - row.in()) / fold.row();
    }

    private static String text(double percent) {
        return String.format(Locale.ROOT, "%.3f%%", percent);
    }
}
