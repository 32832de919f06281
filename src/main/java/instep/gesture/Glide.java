package instep.gesture;

/**
 * The positions of one contact, thinned out: the first is told at once, those that come too soon after it are not, and of them the last is
 * told as soon as its time has come. What is told differs from what was told before. A function of positions and their times: asks no clock,
 * and allocates nothing. Not thread-safe.
 */
public final class Glide {
    private final Moves moves;
    private long value;
    private long told = Long.MIN_VALUE;
    private long mayTell = Long.MIN_VALUE;

    public Glide(Moves moves) {
        this.moves = moves;
    }

    /**
     * Takes a position.
     *
     * @param share of the way, from 0 to 1
     * @return whether {@link #value} is to be told now; else {@link #deadline} says when, if ever
     */
    public boolean moved(double share, long at) {
        value = moves.scale().at(share);
        return tell(at);
    }

    /**
     * The deadline has come.
     *
     * @param at not before the deadline
     * @return whether {@link #value} is to be told now
     */
    public boolean timedOut(long at) {
        return tell(at);
    }

    /** When something waits to be told; {@link Recognizer#NEVER} if nothing does. */
    public long deadline() {
        return value == told || told == Long.MIN_VALUE ? Recognizer.NEVER : mayTell;
    }

    /** The latest position on its scale. */
    public long value() {
        return value;
    }

    /** The latest position as it is written. */
    public String text() {
        return moves.scale().text(value);
    }

    private boolean tell(long at) {
        if (value == told || at < mayTell) {
            return false;
        }
        told = value;
        mayTell = Recognizer.later(at, moves.interval());
        return true;
    }
}
