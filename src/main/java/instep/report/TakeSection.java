package instep.report;

import instep.cutlist.Change;
import instep.cutlist.Mark;
import instep.cutlist.Passage;
import instep.cutlist.Placed;
import instep.time.Durations;
import java.io.IOException;
import java.util.List;
import java.util.Locale;

/** A take on the page: what it was, its picture, and its tables. */
final class TakeSection {
    private final Markup out;
    private final Tables tables;
    private final TakeStory story;
    private final String id;

    TakeSection(Markup out, TakeStory story, String id) {
        this.out = out;
        this.tables = new Tables(out, id);
        this.story = story;
        this.id = id;
    }

    void write() throws IOException {
        out.open("article", "aria-labelledby", id).line();
        out.element("h2", "Take " + story.take().number() + " of " + story.day(), "id", id)
                .line();
        facts();
        if (story.take().frames() == 0) {
            out.element("p", "It has no frames: it ended where it began.");
        } else {
            new StripFigure(out, story).write();
        }
        changes();
        new CutTable(tables, story).write();
        figures();
        marks();
        new GearTables(out, tables, story).write();
        cover();
        out.close().line();
    }

    private void facts() throws IOException {
        out.open("dl", "class", "facts");
        fact("from", story.label(story.take().in()).toString());
        fact("to", story.labelAfter(story.take().out()).toString());
        fact("recorded", time(story.take().frames()));
        fact("in the cut list", time(story.refined().frames()));
        fact("shots", String.valueOf(story.timeline().clips().size()));
        fact("frame rate", story.rate().label());
        if (!story.file().isEmpty()) {
            fact("configuration", story.file());
        }
        out.close().line();
        if (!story.take().closed()) {
            out.element("p", "It was never closed: it ends with the last that is known.", "class", "alarm");
        }
        if (!story.trail().speed().isEmpty()) {
            out.element(
                    "p",
                    "Time ran " + story.trail().speed()
                            + " times faster than life: what gear was asked in that time, and how quickly it answered, says little.");
        }
    }

    private void fact(String name, String value) throws IOException {
        out.open("div").element("dt", name).element("dd", value).close();
    }

    private void changes() throws IOException {
        if (story.refined().changes().isEmpty()) {
            return;
        }
        tables.begin("What the refinements changed", "", "refinement", "#what", "#passages", "#left out");
        for (Change change : story.refined().changes()) {
            tables.row(
                    change.refinement(),
                    change.words(),
                    String.valueOf(change.passages()),
                    change.frames() == 0 ? "-" : time(change.frames()));
        }
        tables.end();
        if (!story.refined().passages().isEmpty()) {
            tables.begin("Passages", "", "why", "what became of it", "from and to", "#length", "moved to pauses");
            for (Passage passage : story.refined().passages()) {
                tables.row(
                        passage.why(),
                        passage.dropped() ? "left out" : "flagged",
                        range(passage.in(), passage.out()),
                        time(passage.frames()),
                        passage.moved() == 0
                                ? "-"
                                : String.format(
                                        Locale.ROOT,
                                        "%+d and %+d frames",
                                        passage.in() - passage.decidedIn(),
                                        passage.out() - passage.decidedOut()));
            }
            tables.end();
        }
    }

    private void figures() throws IOException {
        List<AngleFigures> figures =
                AngleFigures.of(story.angles(), story.refined().spans());
        if (figures.isEmpty()) {
            return;
        }
        tables.begin(
                "Shots of each angle",
                "in the cut list",
                "angle",
                "#shots",
                "#together",
                "#share",
                "#shortest",
                "#median",
                "#longest");
        for (AngleFigures angle : figures) {
            String share = Tables.tenths(angle.permille(story.refined().frames())) + " %";
            boolean none = angle.shots() == 0;
            tables.row(
                    TakeStory.name(angle.angle()),
                    String.valueOf(angle.shots()),
                    none ? "-" : time(angle.total()),
                    none ? "-" : share,
                    none ? "-" : time(angle.shortest()),
                    none ? "-" : time(angle.median()),
                    none ? "-" : time(angle.longest()));
        }
        tables.end();
    }

    private void marks() throws IOException {
        if (story.timeline().marks().isEmpty() && story.timeline().unplaced().isEmpty()) {
            return;
        }
        tables.begin("Marks", "", "mark", "at", "in the programme", "text");
        for (Placed mark : story.timeline().marks()) {
            tables.row(
                    mark.name(),
                    story.label(mark.source()).toString(),
                    story.timeline().record(mark.record()) + (mark.frames() > 0 ? ", " + time(mark.frames()) : ""),
                    mark.text());
        }
        for (Mark mark : story.timeline().unplaced()) {
            tables.row(mark.name(), story.label(mark.frame()).toString(), "left out", mark.text());
        }
        tables.end();
    }

    private void cover() throws IOException {
        if (story.cover().isEmpty()) {
            return;
        }
        tables.begin(
                "Recorded files", "how much of the take they show", "angle", "which", "#files", "#shown", "missing");
        for (Cover cover : story.cover()) {
            StringBuilder gaps = new StringBuilder();
            for (Cover.Gap gap : cover.gaps()) {
                gaps.append(gaps.length() == 0 ? "" : "; ").append(range(gap.in(), gap.out()));
                gaps.append(gap.used() > 0 ? " (the programme needs " + time(gap.used()) + " of it)" : "");
            }
            tables.row(
                    cover.angle(),
                    cover.sort(),
                    String.valueOf(cover.files()),
                    Tables.tenths(cover.permille()) + " %",
                    gaps.length() == 0 ? "nothing" : gaps.toString());
        }
        tables.end();
    }

    private String range(long in, long out) {
        return story.label(in) + " to " + story.labelAfter(out);
    }

    private String time(long frames) {
        return Durations.ofFrames(frames, story.rate());
    }
}
