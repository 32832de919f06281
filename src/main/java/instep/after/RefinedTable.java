package instep.after;

import instep.cutlist.Change;
import instep.cutlist.Clip;
import instep.cutlist.Mark;
import instep.cutlist.Passage;
import instep.cutlist.Placed;
import instep.cutlist.Refined;
import instep.cutlist.Timeline;
import instep.time.Durations;
import java.util.Locale;

/** A refined take as a table for people: what was changed, the shots, the marks. */
public final class RefinedTable {
    private final StringBuilder out = new StringBuilder();
    private final Timeline timeline;

    private RefinedTable(Timeline timeline) {
        this.timeline = timeline;
    }

    public static String of(RecordedTake recorded, Refined refined, Timeline timeline) {
        RefinedTable table = new RefinedTable(timeline);
        table.head(recorded, refined);
        refined.changes().forEach(table::change);
        refined.passages().forEach(table::passage);
        table.shots();
        timeline.marks().forEach(table::mark);
        timeline.unplaced().forEach(table::unplaced);
        return table.out.append(System.lineSeparator()).toString();
    }

    private void head(RecordedTake recorded, Refined refined) {
        line(
                "Take %d of %s: %s recorded, %s in the cut list, %s%s%s",
                recorded.take().number(),
                recorded.day(),
                time(recorded.take().frames()),
                time(refined.frames()),
                count(timeline.clips().size(), "shot"),
                recorded.timecode().isEmpty() ? "" : ", timecode " + recorded.timecode(),
                recorded.take().closed() ? "" : "; never closed: it ends with the last that is known");
    }

    private void change(Change change) {
        String passages = change.passages() == 0 ? "" : ", " + count(change.passages(), "passage") + became(change);
        line("  %-13s %s%s", change.refinement(), change.words(), passages);
    }

    private String became(Change change) {
        if (change.frames() > 0) {
            return " left out, " + time(change.frames());
        }
        return change.refinement().equals("snap") ? "" : " flagged";
    }

    /** By how much an end was moved, in frames. */
    private static String moved(Passage passage) {
        return passage.moved() == 0
                ? ""
                : String.format(
                        Locale.ROOT,
                        ", moved to pauses by %+d and %+d frames",
                        passage.in() - passage.decidedIn(),
                        passage.out() - passage.decidedOut());
    }

    private void passage(Passage passage) {
        line(
                "  %-13s %s to %s, %s  %s%s",
                passage.dropped() ? "left out" : "flagged",
                timeline.source(passage.in()),
                timeline.source(passage.out()),
                time(passage.frames()),
                passage.why(),
                moved(passage));
    }

    private void shots() {
        if (timeline.clips().isEmpty()) {
            line("  Nothing is left of it.");
            return;
        }
        line(
                "  %4s  %-12s %-12s %-11s  %-11s  %-11s  %-11s  %s",
                "shot", "angle", "reel", "source in", "source out", "record in", "record out", "length");
        int number = 0;
        for (Clip clip : timeline.clips()) {
            line(
                    "  %4d  %-12s %-12s %s  %s  %s  %s  %s",
                    ++number,
                    known(clip.source().angle()),
                    known(clip.source().reel()),
                    timeline.sourceIn(clip),
                    timeline.sourceOut(clip),
                    timeline.record(clip.record()),
                    timeline.record(clip.recordOut()),
                    time(clip.frames()));
        }
    }

    private void mark(Placed mark) {
        String length = mark.frames() > 0 ? ", " + time(mark.frames()) : "";
        line(
                "  mark  %-25s %s  %-11s  %s%s",
                mark.name(),
                timeline.source(mark.source()),
                "",
                timeline.record(mark.record()),
                (mark.text().isEmpty() ? "" : "  " + mark.text()) + length);
    }

    private void unplaced(Mark mark) {
        line(
                "  mark  %-25s %s  in what was left out%s",
                mark.name(), timeline.source(mark.frame()), mark.text().isEmpty() ? "" : "  " + mark.text());
    }

    private static String known(String name) {
        return name.isEmpty() ? "?" : name;
    }

    private String time(long frames) {
        return Durations.ofFrames(frames, timeline.rate());
    }

    private static String count(int number, String what) {
        return number + " " + what + (number == 1 ? "" : "s");
    }

    private void line(String format, Object... values) {
        out.append(String.format(Locale.ROOT, format, values).stripTrailing()).append(System.lineSeparator());
    }
}
