package instep.report;

import instep.cutlist.Refined;
import instep.cutlist.Take;
import instep.cutlist.Timeline;
import instep.time.FrameRate;
import instep.time.Timecode;
import java.util.List;

/**
 * All that a report tells of a take.
 *
 * @param day on which it began
 * @param file the name of the configuration that was in force; empty if there was none
 * @param angles all angles, in the order in which they are told of
 * @param cover what is known of recorded files; empty if nobody has looked
 */
public record TakeStory(
        String day,
        String file,
        List<String> angles,
        Refined refined,
        Timeline timeline,
        Trail trail,
        List<Cover> cover) {
    public TakeStory {
        angles = List.copyOf(angles);
        cover = List.copyOf(cover);
    }

    Take take() {
        return refined.take();
    }

    FrameRate rate() {
        return timeline.rate();
    }

    /** The label of a frame of the sources. */
    Timecode label(long frame) {
        return timeline.source(frame);
    }

    /** The label after a stretch that ends with the frame before it, as its timecode goes on. */
    Timecode labelAfter(long frame) {
        return timeline.after(frame - 1);
    }

    /** Whether the cut list differs from what was on air. */
    boolean isChanged() {
        return refined.changes().stream().anyMatch(change -> change.cuts() > 0 || change.passages() > 0);
    }

    /** How many shots the cut list has. */
    String shots() {
        int count = timeline.clips().size();
        return count + (count == 1 ? " shot" : " shots");
    }

    /** What an angle is called. */
    static String name(String angle) {
        return angle.isEmpty() ? "unknown" : angle;
    }
}
