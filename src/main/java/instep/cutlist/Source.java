package instep.cutlist;

/**
 * Where the pictures of an angle are at some frame of a take; what is not known is empty.
 *
 * @param angle its name
 * @param reel the reel of its recorder
 * @param small the file of small pictures
 * @param recorded the file of the camera
 */
public record Source(String angle, String reel, Piece small, Piece recorded) {
    /** Of files whose names alone are known. */
    public Source(String angle, String reel, String proxy, String original) {
        this(angle, reel, Piece.named(proxy), Piece.named(original));
    }

    /** Of an angle of which nothing else is known. */
    public static Source unknown(String angle) {
        return new Source(angle, "", "", "");
    }

    /** The file of small pictures. */
    public String proxy() {
        return small.file();
    }

    /** The file of what the camera has recorded. */
    public String original() {
        return recorded.file();
    }

    /** The file of that sort. */
    public String file(Media media) {
        return piece(media).file();
    }

    /** The file of that sort, with its place. */
    public Piece piece(Media media) {
        return media == Media.PROXY ? small : recorded;
    }
}
