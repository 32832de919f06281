package instep.cutlist;

/**
 * A file that shows an angle for a while. Frames are counted as in the journal, on over midnight.
 *
 * @param file its path; empty: there is none
 * @param in the first frame that it shows
 * @param out the frame after the last
 * @param shift so much later is the file's own timecode than that of the journal, in frames
 */
public record Piece(String file, long in, long out, long shift) {
    /** No file. */
    public static final Piece NONE = new Piece("", Long.MIN_VALUE, Long.MAX_VALUE, 0);

    public Piece {
        if (out <= in) {
            throw new IllegalArgumentException("a piece has at least one frame: " + in + " to " + out);
        }
    }

    /** A file of which only the name is known: it is taken to show whatever it is asked for. */
    public static Piece named(String file) {
        return file.isEmpty() ? NONE : new Piece(file, Long.MIN_VALUE, Long.MAX_VALUE, 0);
    }

    /** Whether it is known where the file begins and ends. */
    public boolean isPlaced() {
        return in != Long.MIN_VALUE;
    }

    /** Whether it shows a frame. */
    public boolean shows(long frame) {
        return in <= frame && frame < out;
    }
}
