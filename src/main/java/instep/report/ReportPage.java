package instep.report;

import instep.time.Durations;
import java.io.IOException;
import java.util.ArrayList;
import java.util.Collection;
import java.util.List;

/**
 * A report as one HTML page that needs nothing else. Takes are written one after the other, so memory does not grow with what they hold; what stands above them is written at the end.
 */
public final class ReportPage {
    private record Line(String id, String take, String from, String length, String shots, String faults) {}

    private final String title;
    private final String journal;
    private final List<Line> lines = new ArrayList<>();

    /** A page with that heading, about that journal. */
    public ReportPage(String title, String journal) {
        this.title = title;
        this.journal = journal;
    }

    /** Writes a take to where the body of the page is kept. */
    public void take(TakeStory story, Appendable body) throws IOException {
        String id = "take-" + (lines.size() + 1);
        new TakeSection(new Markup(body), story, id).write();
        long faults = story.trail().troubles().size() + story.trail().more();
        lines.add(new Line(
                id,
                "Take " + story.take().number() + " of " + story.day(),
                story.label(story.take().in()).toString(),
                Durations.ofFrames(story.take().frames(), story.rate()),
                String.valueOf(story.timeline().clips().size()),
                faults == 0 ? "none" : String.valueOf(faults)));
    }

    /**
     * Writes what stands above the takes.
     *
     * @param remarks what the reader must know of all of it, a sentence each
     */
    public void head(Appendable to, List<String> remarks) throws IOException {
        Markup out = new Markup(to);
        out.raw("<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n");
        out.raw("<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n");
        // No page may load anything, whatever the journal holds.
        out.raw(
                "<meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'; style-src 'unsafe-inline'\">\n");
        out.element("title", title).line();
        out.raw("<style>\n").raw(Resources.text("page.css")).raw("</style>\n</head>\n<body>\n");
        out.open("header").element("h1", title);
        out.element("p", "From the journal " + journal + ".", "class", "soft");
        for (String remark : remarks) {
            out.element("p", remark, "class", "alarm");
        }
        out.close().line();
        out.raw("<main>\n");
        if (lines.isEmpty()) {
            out.element("p", "No take was recorded.").line();
        }
        if (lines.size() > 1) {
            index(out);
        }
    }

    /**
     * Ends the page.
     *
     * @param losses what is lost where the cut lists are written
     */
    public void foot(Appendable to, Collection<Loss> losses) throws IOException {
        if (!losses.isEmpty()) {
            Tables tables = new Tables(new Markup(to), "losses");
            tables.begin("What a file of the cut list cannot say", "", "file", "loss");
            for (Loss loss : losses) {
                tables.row(loss.format(), loss.words());
            }
            tables.end();
        }
        to.append("</main>\n</body>\n</html>\n");
    }

    private void index(Markup out) throws IOException {
        out.open("nav", "aria-label", "takes").open("div", "class", "wide").open("table");
        out.element("caption", "Takes").open("thead").open("tr");
        for (String column : List.of("take", "from")) {
            out.element("th", column, "scope", "col");
        }
        for (String column : List.of("length", "shots", "faults")) {
            out.element("th", column, "scope", "col", "class", "n");
        }
        out.close().close().open("tbody").line();
        for (Line line : lines) {
            out.open("tr").open("th", "scope", "row");
            out.element("a", line.take, "href", "#" + line.id).close();
            out.element("td", line.from, "class", "tc");
            for (String cell : List.of(line.length, line.shots, line.faults)) {
                out.element("td", cell, "class", "n");
            }
            out.close().line();
        }
        out.close().close().close().close().line();
    }
}
