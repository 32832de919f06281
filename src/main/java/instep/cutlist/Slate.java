package instep.cutlist;

import instep.time.FrameRate;
import instep.time.Timecode;
import java.util.List;

/**
 * What tells a take from all others, and what was filmed in it.
 *
 * @param take its number
 * @param day on which it began
 * @param in its first frame, counted on over midnight
 * @param out the frame after the last
 */
public record Slate(long take, String day, FrameRate rate, long in, long out, List<Angle> angles) {
    /**
     * An angle, and how to know its files.
     *
     * @param reel empty if it has none
     * @param files a pattern of their names; empty: they have the name of the reel in theirs
     * @param offset so much later is their timecode than that of the journal, in frames
     */
    public record Angle(String name, String reel, String files, long offset) {}

    public Slate {
        angles = List.copyOf(angles);
    }

    /** Where it begins, as a label. */
    public Timecode from() {
        return Timecode.wrapped(rate, in);
    }

    /** Whether it is the same take, whatever is known of its angles. */
    boolean isSame(long number, String date, Timecode start) {
        return take == number && day.equals(date) && from().equals(start);
    }

    @Override
    public String toString() {
        return "take " + take + " of " + day;
    }

    /** Where a file begins that is as long as this and whose first frame has that label: so that it shows as much as possible of the take. */
    long place(Timecode label, long frames, long offset) {
        long day = rate.framesPerDay();
        long first = label.frame() - offset;
        long middle = in + (out - in) / 2 - frames / 2;
        return first + Math.floorDiv(middle - first + day / 2, day) * day;
    }
}
