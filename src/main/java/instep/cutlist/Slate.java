package instep.cutlist;

import instep.time.FrameRate;
import instep.time.Timecode;
import java.util.List;

/**
 * What tells a take from all others, and what was filmed in it.
 *
 * @param take what the journal tells of it
 * @param day on which it began
 */
public record Slate(Take take, String day, FrameRate rate, List<Angle> angles) {
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

    /** The same for files whose labels are those of the journal. */
    public Slate withoutOffsets() {
        return new Slate(
                take,
                day,
                rate,
                angles.stream()
                        .map(angle -> new Angle(angle.name(), angle.reel(), angle.files(), 0))
                        .toList());
    }

    /** Its first frame. */
    long in() {
        return take.in();
    }

    /** The frame after its last. */
    long out() {
        return take.out();
    }

    /** Where it begins, as a label. */
    public Timecode from() {
        return label(take.in());
    }

    /** Where it ends, as the label after the last. */
    public Timecode to() {
        return take.frames() == 0 ? from() : label(take.out() - 1).plus(1);
    }

    /** The journal's label of a frame, also of one before or after the take. */
    Timecode label(long frame) {
        return Timecode.wrapped(rate, take.labelled(frame));
    }

    /** Whether it is the same take, whatever is known of its angles. */
    boolean isSame(long number, String date, Timecode start) {
        return take.number() == number && day.equals(date) && from().equals(start);
    }

    @Override
    public String toString() {
        return "take " + take.number() + " of " + day;
    }

    /**
     * Where a file begins: so that it shows as much as possible of the take. Where the journal's timecode jumps within the take, a file that begins after it is taken to have jumped as well.
     *
     * @param label the journal's at the first frame of the file
     * @param frames how long it is
     */
    long place(Timecode label, long frames) {
        for (Jump jump : take.jumps()) {
            long from = jump.frame();
            long to = take.straightTo(from);
            long in = nearest(label.frame() - (take.labelled(from) - from), frames);
            if (in >= from && in < to) {
                return in;
            }
        }
        return nearest(label.frame(), frames);
    }

    /** Labels come back each day. */
    private long nearest(long first, long frames) {
        long ofDay = rate.framesPerDay();
        long middle = in() + (out() - in()) / 2 - frames / 2;
        return first + Math.floorDiv(middle - first + ofDay / 2, ofDay) * ofDay;
    }

    /** By how much the label of a file is later than the frame at which it begins; the shorter way round the day. */
    long shift(Timecode label, long in) {
        long ofDay = rate.framesPerDay();
        return Math.floorMod(label.frame() - in + ofDay / 2, ofDay) - ofDay / 2;
    }
}
