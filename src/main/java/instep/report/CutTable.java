package instep.report;

import instep.cutlist.Clip;
import instep.cutlist.Passage;
import instep.time.Durations;
import java.io.IOException;
import java.util.List;

/** The table of a take's cuts as the cut list has them. */
final class CutTable {
    private final Tables tables;
    private final TakeStory story;

    CutTable(Tables tables, TakeStory story) {
        this.tables = tables;
        this.story = story;
    }

    void write() throws IOException {
        List<Clip> clips = story.timeline().clips();
        if (clips.isEmpty()) {
            return;
        }
        tables.begin(
                "Cuts",
                story.isChanged() ? "as the cut list has them" : "",
                "shot",
                "on the recordings",
                "#length",
                "in the programme");
        long at = story.take().in();
        int number = 0;
        for (Clip clip : clips) {
            leftOut(at, clip.in());
            at = clip.out();
            String angle = clip.source().angle();
            tables.row(new Tables.Head(++number, Strips.look(story, angle), TakeStory.name(angle)), new String[] {
                story.timeline().sourceIn(clip) + " to " + story.timeline().sourceOut(clip),
                Durations.ofFrames(clip.frames(), story.rate()),
                story.timeline().record(clip.record()).toString()
            });
        }
        leftOut(at, story.take().out());
        tables.end();
    }

    /** What lies between two shots that no cut joins. */
    private void leftOut(long in, long out) throws IOException {
        for (Passage passage : story.refined().dropped()) {
            if (passage.in() >= in && passage.out() <= out) {
                tables.remark("left out: " + Durations.ofFrames(passage.frames(), story.rate()) + " from "
                        + story.label(passage.in()) + " (" + passage.why() + ")");
            }
        }
    }
}
