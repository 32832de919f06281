package instep.cutlist;

import java.util.ArrayList;
import java.util.List;

/** The shots of many takes. */
public final class Shots {
    private Shots() {}

    /** The shots of all takes, in the order of the journal. */
    public static List<Shot> of(Iterable<? extends TakeEvent> events) {
        List<Shot> shots = new ArrayList<>();
        Takes takes = new Takes(take -> shots.addAll(take.shots()));
        events.forEach(takes::accept);
        takes.end();
        return List.copyOf(shots);
    }
}
