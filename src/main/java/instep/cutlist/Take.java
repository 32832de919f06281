package instep.cutlist;

import java.util.List;

/**
 * A take as the journal tells it: its shots follow each other without gap or overlap from its first frame to its last, and two neighbours never
 * show the same angle.
 *
 * @param in the first frame, counted on over midnight
 * @param out the frame after the last; a take of no length ends where it begins and has no shots
 * @param closed false: the journal breaks off, and the take ends with the last that is known
 * @param marks those within the take, in the order of their frames
 * @param jumps where its timecode went elsewhere, in the order of their frames
 * @param outages between the runs in which it was recorded, in the order of their frames
 */
public record Take(
        long number,
        long in,
        long out,
        boolean closed,
        List<Shot> shots,
        List<Mark> marks,
        List<Jump> jumps,
        List<Outage> outages) {
    /** A take whose timecode runs straight, of one run. */
    public Take(long number, long in, long out, boolean closed, List<Shot> shots, List<Mark> marks) {
        this(number, in, out, closed, shots, marks, List.of());
    }

    /** A take of one run. */
    public Take(long number, long in, long out, boolean closed, List<Shot> shots, List<Mark> marks, List<Jump> jumps) {
        this(number, in, out, closed, shots, marks, jumps, List.of());
    }

    public Take {
        shots = List.copyOf(shots);
        marks = List.copyOf(marks);
        jumps = List.copyOf(jumps);
        outages = List.copyOf(outages);
        long at = in;
        for (Shot shot : shots) {
            if (shot.in() != at) {
                throw new IllegalArgumentException("a shot begins at " + shot.in() + ", not at " + at);
            }
            at = shot.out();
        }
        if (at != out) {
            throw new IllegalArgumentException("the shots end at " + at + ", the take at " + out);
        }
    }

    /** In how many runs it was recorded. */
    public int parts() {
        return outages.size() + 1;
    }

    /** How many frames it has. */
    public long frames() {
        return out - in;
    }

    /** The frame that the sources' timecode has there. */
    public long labelled(long frame) {
        long labelled = frame;
        for (Jump jump : jumps) {
            labelled += frame >= jump.frame() ? jump.by() : 0;
        }
        return labelled;
    }

    /** Where the stretch of straight timecode begins that holds the frame. */
    public long straightFrom(long frame) {
        long from = in;
        for (Jump jump : jumps) {
            from = frame >= jump.frame() ? Math.max(from, jump.frame()) : from;
        }
        return from;
    }

    /** The frame after the last of the stretch of straight timecode that holds the frame. */
    public long straightTo(long frame) {
        long to = out;
        for (Jump jump : jumps) {
            to = frame < jump.frame() ? Math.min(to, jump.frame()) : to;
        }
        return to;
    }
}
