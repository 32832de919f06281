package instep.journal;

import instep.cutlist.Jump;
import instep.time.FrameRate;
import instep.time.Timecode;
import java.util.ArrayDeque;
import java.util.Deque;
import java.util.Optional;

/**
 * From the frames that records bear to those of a take, which are counted on where timecode from outside jumps. Between two jumps timecode runs straight, so the frame at an instant tells on which
 * stretch a record was stamped; one may be stamped with an instant before a jump that is in the journal already. Not thread-safe.
 */
public final class TakeFrames {
    private static final int KEPT = 16;
    /** So many frames are no jump: a line is followed to a frame, and where one begins need not be known. */
    private static final int CLOSE = 1;

    /** At {@code mono} it is in {@code frame}; what is stamped there is {@code shift} further than the take counts. */
    private record Stretch(long mono, long frame, long shift) {
        long frameAt(long nanos, FrameRate rate) {
            return frame + rate.frameAt(nanos - mono);
        }
    }

    private final Deque<Stretch> latestFirst = new ArrayDeque<>();
    private FrameRate rate = FrameRate.R25;

    /** Another run, of which nothing is known. */
    public void beginRun(FrameRate of) {
        rate = of;
        latestFirst.clear();
    }

    /** A take begins; its frames are those of its first label. */
    public void beginTake(long mono, long frame) {
        Stretch now = latestFirst.peek();
        boolean isExact = now != null && now.frameAt(mono, rate) == frame;
        latestFirst.clear();
        latestFirst.add(isExact ? new Stretch(now.mono(), now.frame(), 0) : new Stretch(mono, frame, 0));
    }

    /** Timecode counts from there now. Returns the jump, if that is elsewhere. */
    public Optional<Jump> sync(Entry sync, long frame) {
        Stretch now = latestFirst.peek();
        long began = sync.number(Key.BEGAN).orElse(sync.mono());
        if (now == null) {
            latestFirst.add(new Stretch(began, frame, 0));
            return Optional.empty();
        }
        long by = frame - now.frameAt(sync.mono(), rate);
        boolean isElsewhere = Math.abs(by) > CLOSE;
        long shift = now.shift() + (isElsewhere ? by : 0);
        latestFirst.addFirst(new Stretch(began, frame, shift));
        if (latestFirst.size() > KEPT) {
            latestFirst.removeLast();
        }
        return isElsewhere ? Optional.of(new Jump(frame - shift, by)) : Optional.empty();
    }

    /** The take's frame for one that was stamped at that instant. */
    public long of(long mono, long frame) {
        long shift = 0;
        long closest = Long.MAX_VALUE;
        for (Stretch stretch : latestFirst) {
            long off = Math.abs(stretch.frameAt(mono, rate) - frame);
            if (off < closest) {
                closest = off;
                shift = stretch.shift();
            }
        }
        return frame - shift;
    }

    /** The take's frame for a label that was stamped at that instant: the nearest, also over midnight, to where timecode runs now. */
    public long of(long mono, Timecode label) {
        Stretch now = latestFirst.peek();
        long near = now == null ? label.frame() : now.frameAt(mono, rate);
        long day = label.rate().framesPerDay();
        return of(mono, near + Math.floorMod(label.frame() - near + day / 2, day) - day / 2);
    }

    /** The take's frame at an instant, as timecode runs now; 0 if nothing is known. */
    public long at(long mono) {
        Stretch now = latestFirst.peek();
        return now == null ? 0 : now.frameAt(mono, rate) - now.shift();
    }
}
