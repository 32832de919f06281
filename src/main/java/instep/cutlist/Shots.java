package instep.cutlist;

import java.util.ArrayList;
import java.util.List;

/**
 * Finds the shots of each take: the shots of a take follow each other without gap or overlap from its first frame to its last, and two
 * neighbours never show the same angle. Not thread-safe.
 *
 * <p>Cuts count in the order in which they were decided. One that is stamped earlier than the cut before it takes effect where that one
 * did, and replaces it; one at or after the end of the take is not in the take. A take that was never closed ends after the last frame that
 * is known of it.
 */
public final class Shots {
    private static final TakeEvent.Opened NONE = new TakeEvent.Opened(-1, 0);

    private final List<Shot> shots = new ArrayList<>();
    private final List<TakeEvent.Cut> cuts = new ArrayList<>();
    private TakeEvent.Opened open = NONE;
    private int firstOfTake;
    private String onAir = "";

    private Shots() {}

    /** The shots of all takes, in the order of the journal. */
    public static List<Shot> of(Iterable<? extends TakeEvent> events) {
        Shots shots = new Shots();
        events.forEach(shots::accept);
        shots.closeAt(shots.afterLastKnown());
        return List.copyOf(shots.shots);
    }

    private void accept(TakeEvent event) {
        if (event instanceof TakeEvent.Opened opened) {
            closeAt(afterLastKnown());
            open = opened;
            firstOfTake = shots.size();
        } else if (event instanceof TakeEvent.Cut cut) {
            cut(cut);
        } else if (event instanceof TakeEvent.Closed closed) {
            closeAt(closed.frame());
        } else {
            closeAt(Math.max(event.frame(), afterLastKnown()));
            onAir = "";
        }
    }

    /** Outside a take only what is on air matters: a take may begin without a cut. */
    private void cut(TakeEvent.Cut cut) {
        if (!isOpen()) {
            onAir = cut.angle();
            return;
        }
        long earliest =
                cuts.isEmpty() ? open.frame() : cuts.get(cuts.size() - 1).frame();
        cuts.add(new TakeEvent.Cut(cut.angle(), Math.max(cut.frame(), earliest)));
    }

    private boolean isOpen() {
        return !open.equals(NONE);
    }

    private long afterLastKnown() {
        return 1 + (cuts.isEmpty() ? open.frame() : cuts.get(cuts.size() - 1).frame());
    }

    private void closeAt(long out) {
        if (!isOpen()) {
            return;
        }
        long in = open.frame();
        for (TakeEvent.Cut cut : cuts) {
            long at = Math.min(cut.frame(), out);
            if (!cut.angle().equals(onAir)) {
                add(in, at);
                in = Math.max(in, at);
                onAir = cut.angle();
            }
        }
        add(in, out);
        cuts.clear();
        open = NONE;
    }

    /** A cut that was taken back on the very frame leaves its two neighbours with the same angle: they are one shot. */
    private void add(long in, long out) {
        if (out <= in) {
            return;
        }
        int last = shots.size() - 1;
        if (last >= firstOfTake && shots.get(last).angle().equals(onAir)) {
            shots.set(last, new Shot(open.take(), onAir, shots.get(last).in(), out));
        } else {
            shots.add(new Shot(open.take(), onAir, in, out));
        }
    }
}
