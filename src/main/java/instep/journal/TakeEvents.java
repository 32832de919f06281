package instep.journal;

import instep.cutlist.TakeEvent;
import instep.time.FrameRate;
import java.util.ArrayList;
import java.util.List;

/**
 * Picks from a journal's records what the cut list is made of. Records are given in the order of the files. Not thread-safe.
 */
public final class TakeEvents {
    private final List<TakeEvent> events = new ArrayList<>();
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
            case TAKE_OPEN -> events.add(new TakeEvent.Opened(take(entry), frame));
            case TAKE_CLOSE -> events.add(new TakeEvent.Closed(take(entry), frame));
            case CUT -> events.add(new TakeEvent.Cut(entry.text(Key.ANGLE).orElse(""), frame));
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
