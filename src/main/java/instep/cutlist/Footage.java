package instep.cutlist;

import java.util.ArrayList;
import java.util.List;

/**
 * The files of an angle in a take. Where two show the same frame, the one that comes first in its list is meant.
 *
 * @param reel empty if it has none
 * @param proxies files of small pictures
 * @param originals files of the camera
 */
public record Footage(String angle, String reel, List<Piece> proxies, List<Piece> originals) {
    public Footage {
        proxies = List.copyOf(proxies);
        originals = List.copyOf(originals);
    }

    /** What is the same all through the take. */
    public static Footage of(Source source) {
        return new Footage(source.angle(), source.reel(), List.of(source.small()), List.of(source.recorded()));
    }

    /** The files of that sort. */
    public List<Piece> pieces(Media media) {
        return media == Media.PROXY ? proxies : originals;
    }

    /**
     * What shows the frames from {@code in} up to {@code out}, cut wherever a file of either sort begins or ends.
     *
     * @param record where the first stands on the timeline
     */
    List<Clip> clips(long in, long out, long record) {
        List<Clip> clips = new ArrayList<>();
        for (long at = in; at < out; ) {
            Piece small = at(proxies, at);
            Piece recorded = at(originals, at);
            long end = Math.min(out, Math.min(small.out(), recorded.out()));
            clips.add(new Clip(new Source(angle, reel, ofFile(small), ofFile(recorded)), at, end, record + at - in));
            at = end;
        }
        return clips;
    }

    /** The piece that shows a frame, or the gap in which it lies. */
    static Piece at(List<Piece> pieces, long frame) {
        long next = Long.MAX_VALUE;
        for (Piece piece : pieces) {
            if (piece.shows(frame)) {
                return piece;
            }
            next = piece.in() > frame ? Math.min(next, piece.in()) : next;
        }
        return next == Long.MAX_VALUE ? Piece.NONE : new Piece("", frame, next, 0);
    }

    private static Piece ofFile(Piece piece) {
        return piece.file().isEmpty() ? Piece.NONE : piece;
    }
}
