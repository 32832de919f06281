package instep.journal;

import instep.cutlist.TakeEvent;
import instep.time.FrameRate;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;

/**
 * Picks from a journal's records what the cut list is made of; a cut counts as of when it was confirmed, if it was. Records are given in the order of the files. Not thread-safe.
 */
public final class TakeEvents {
    private final List<TakeEvent> events = new ArrayList<>();
    /** By the number of the record: which of the events is that cut. */
    private final Map<Long, Integer> cuts = new HashMap<>();

    private long opened = Long.MIN_VALUE;
    /** Time ran faster than gear can: how long its answers took in that time says nothing. */
    private boolean tooFast;

    private FrameRate rate = FrameRate.R25;
    private boolean running;
    private long anchorFrame;
    private long anchorMono;
    private long lastMono;

    /** Looks at the next record. */
    public void accept(Entry entry) {
        if (entry.kind() == Kind.START) {
            endRun();
            running = true;
            rate = entry.text(Key.RATE).flatMap(FrameRate::named).orElse(rate);
            cuts.clear();
            tooFast = entry.text(Key.SPEED).isPresent();
            opened = Long.MIN_VALUE;
            anchorFrame = 0;
            anchorMono = entry.mono();
            lastMono = entry.mono();
        }
        lastMono = Math.max(lastMono, entry.mono());
        entry.number(Key.FRAME).ifPresent(frame -> framed(entry, frame));
    }

    /** What was found, ended with the end of the last run. */
    public List<TakeEvent> toList() {
        endRun();
        return List.copyOf(events);
    }

    private void framed(Entry entry, long frame) {
        anchorFrame = frame;
        anchorMono = entry.mono();
        switch (entry.kind()) {
            case TAKE_OPEN -> {
                opened = frame;
                events.add(new TakeEvent.Opened(take(entry), frame));
            }
            case TAKE_CLOSE -> events.add(new TakeEvent.Closed(take(entry), frame));
            case CUT -> {
                cuts.put(entry.seq(), events.size());
                events.add(new TakeEvent.Cut(entry.text(Key.ANGLE).orElse(""), frame));
            }
            case CONFIRMED -> confirm(entry.number(Key.TICKET).orElse(-1), frame);
            case START,
                    CONFIG,
                    EDGE,
                    POSITION,
                    GESTURE,
                    TRANSITION,
                    MARK,
                    SENT,
                    REPLY,
                    MISSED,
                    LINK,
                    DEVICE,
                    SYNC,
                    FAULT,
                    STOP -> {}
        }
    }

    /**
     * A cut took place when the gear says so, not when it was asked for; the first word counts. What a take begins with stays on its first frame: a
     * shot of what was on air before the take is nothing that anybody wants.
     */
    private void confirm(long cut, long frame) {
        Integer index = cuts.remove(cut);
        if (index != null && !tooFast && events.get(index).frame() > opened) {
            TakeEvent.Cut asked = (TakeEvent.Cut) events.get(index);
            events.set(index, new TakeEvent.Cut(asked.angle(), Math.max(frame, asked.frame())));
        }
    }

    /** Timecode runs straight within a take, so the last record of any kind tells how far it is known. */
    private void endRun() {
        if (running) {
            events.add(new TakeEvent.RunEnded(anchorFrame + rate.frameAt(lastMono - anchorMono) + 1));
        }
        running = false;
    }

    private static long take(Entry entry) {
        return entry.number(Key.TAKE).orElse(0);
    }
}
