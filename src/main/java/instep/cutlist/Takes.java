package instep.cutlist;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.function.Consumer;

/**
 * Finds the takes in what the journal tells, and gives each away as soon as it is over: it holds no more than one. Not thread-safe.
 *
 * <p>Cuts count in the order in which they were decided. One that is stamped earlier than the cut before it takes effect where that one
 * did, and replaces it; one at or after the end of the take is not in the take. A take that was never closed ends after the last frame that
 * is known of it, unless a later run goes on with it; where it does, a mark {@value #RESUMED} stands. A mark that is stamped outside of its take stands on the nearest frame within. A
 * jump of timecode is no cut.
 */
public final class Takes {
    /** The mark that stands where a take went on after the program had ended in the middle of it. */
    public static final String RESUMED = "resumed";

    private static final long RUNNING = Long.MIN_VALUE;
    private static final TakeEvent.Opened NONE = new TakeEvent.Opened(-1, 0);

    private final Consumer<Take> found;
    private final List<Shot> shots = new ArrayList<>();
    private final List<TakeEvent.Cut> cuts = new ArrayList<>();
    private final List<Mark> marks = new ArrayList<>();
    private final List<Jump> jumps = new ArrayList<>();
    private final List<Outage> outages = new ArrayList<>();
    private TakeEvent.Opened open = NONE;
    private String onAir = "";
    /** Where the run ended with the take open, until it is known whether it goes on. */
    private long brokenOff = RUNNING;

    /** Gives the takes away in the order of the journal. */
    public Takes(Consumer<Take> found) {
        this.found = found;
    }

    /** Hears the next event. */
    public void accept(TakeEvent event) {
        if (event instanceof TakeEvent.Resumed resumed && isGoingOn(resumed)) {
            outages.add(new Outage(Math.min(brokenOff, resumed.frame()), resumed.frame()));
            brokenOff = RUNNING;
            marks.add(new Mark(RESUMED, "", resumed.frame()));
            return;
        }
        endBrokenOff();
        if (event instanceof TakeEvent.Opened opened) {
            closeAt(afterLastKnown(), false);
            open = opened;
        } else if (event instanceof TakeEvent.Resumed resumed) {
            closeAt(afterLastKnown(), false);
            open = new TakeEvent.Opened(resumed.take(), resumed.frame());
        } else if (event instanceof TakeEvent.Cut cut) {
            cut(cut);
        } else if (event instanceof TakeEvent.Closed closed) {
            closeAt(closed.frame(), true);
        } else if (event instanceof TakeEvent.Marked marked) {
            if (isOpen()) {
                marks.add(marked.mark());
            }
        } else if (event instanceof TakeEvent.Jumped jumped) {
            if (isOpen()) {
                jumps.add(jumped.jump());
            }
        } else if (isOpen()) {
            brokenOff = Math.max(event.frame(), afterLastKnown());
        } else {
            onAir = "";
        }
    }

    /** Frames of a later run can be compared only if they lie behind those of the first. */
    private boolean isGoingOn(TakeEvent.Resumed resumed) {
        return brokenOff != RUNNING && resumed.take() == open.take() && resumed.frame() >= brokenOff - 1;
    }

    private void endBrokenOff() {
        if (brokenOff != RUNNING) {
            closeAt(brokenOff, false);
            brokenOff = RUNNING;
            onAir = "";
        }
    }

    /** There is no more: a take that is still open ends with what is known of it. */
    public void end() {
        endBrokenOff();
        closeAt(afterLastKnown(), false);
    }

    /** Outside a take only what is on air matters: a take may begin without a cut. */
    private void cut(TakeEvent.Cut cut) {
        if (!isOpen()) {
            onAir = cut.angle();
            return;
        }
        long earliest =
                cuts.isEmpty() ? open.frame() : cuts.get(cuts.size() - 1).frame();
        cuts.add(new TakeEvent.Cut(cut.angle(), Math.max(cut.frame(), earliest), cut.returning()));
    }

    private boolean isOpen() {
        return !open.equals(NONE);
    }

    private long afterLastKnown() {
        long last = cuts.isEmpty() ? open.frame() : cuts.get(cuts.size() - 1).frame();
        for (Mark mark : marks) {
            last = Math.max(last, mark.frame());
        }
        return 1 + last;
    }

    private void closeAt(long out, boolean closed) {
        if (!isOpen()) {
            return;
        }
        long end = Math.max(out, open.frame());
        long in = open.frame();
        boolean returning = false;
        for (TakeEvent.Cut cut : cuts) {
            long at = Math.min(cut.frame(), end);
            if (!cut.angle().equals(onAir)) {
                add(in, at, returning);
                in = Math.max(in, at);
                onAir = cut.angle();
                returning = cut.returning();
            }
        }
        add(in, end, returning);
        found.accept(new Take(open.take(), open.frame(), end, closed, shots, within(end), jumpsWithin(end), outages));
        shots.clear();
        cuts.clear();
        marks.clear();
        jumps.clear();
        outages.clear();
        open = NONE;
    }

    private List<Mark> within(long end) {
        return marks.stream()
                .map(mark -> new Mark(
                        mark.name(),
                        mark.text(),
                        Math.max(open.frame(), Math.min(mark.frame(), Math.max(open.frame(), end - 1)))))
                .sorted(Comparator.comparingLong(Mark::frame))
                .toList();
    }

    private List<Jump> jumpsWithin(long end) {
        return jumps.stream()
                .filter(jump -> jump.frame() > open.frame() && jump.frame() < end)
                .sorted(Comparator.comparingLong(Jump::frame))
                .toList();
    }

    /** A cut that was taken back on the very frame leaves its two neighbours with the same angle: they are one shot. */
    private void add(long in, long out, boolean returning) {
        if (out <= in) {
            return;
        }
        int last = shots.size() - 1;
        if (last >= 0 && shots.get(last).angle().equals(onAir)) {
            Shot before = shots.get(last);
            shots.set(last, new Shot(open.take(), onAir, before.in(), out, before.returning()));
        } else {
            shots.add(new Shot(open.take(), onAir, in, out, returning && !shots.isEmpty()));
        }
    }
}
