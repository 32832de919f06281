package instep.cutlist;

import java.util.List;

/**
 * Where nobody speaks during a take, and how far the ends of what is left out may be moved to get there.
 *
 * @param list in the order of the take, without overlap
 * @param within so many frames at most
 */
public record Pauses(List<Pause> list, long within) {
    /** Nobody has listened. */
    public static final Pauses NONE = new Pauses(List.of(), 0);

    /** So many frames of a pause are left on either side if it has them: a breath sounds cut off without. */
    private static final long BREATH = 2;

    /**
     * A stretch of silence.
     *
     * @param in the first frame
     * @param out the frame after the last
     */
    public record Pause(long in, long out) {
        /** The place within that is nearest to a frame. */
        private long nearest(long frame) {
            long breath = Math.min(BREATH, (out - in) / 2);
            return Math.max(in + breath, Math.min(out - breath, frame));
        }
    }

    public Pauses {
        list = List.copyOf(list);
    }

    /** The nearest place in a pause; the frame itself if there is none near enough. */
    long nearest(long frame) {
        long best = frame;
        long distance = Long.MAX_VALUE;
        for (Pause pause : list) {
            long place = pause.nearest(frame);
            if (Math.abs(place - frame) <= within && Math.abs(place - frame) < distance) {
                best = place;
                distance = Math.abs(place - frame);
            }
        }
        return best;
    }
}
