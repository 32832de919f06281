package instep.cutlist;

/**
 * Where the pictures of an angle are during a take; what is not known is empty.
 *
 * @param angle its name
 * @param reel the reel of its recorder
 * @param proxy the file of small pictures
 * @param original the file of the camera
 */
public record Source(String angle, String reel, String proxy, String original) {
    /** Of an angle of which nothing else is known. */
    public static Source unknown(String angle) {
        return new Source(angle, "", "", "");
    }

    /** The file of that sort. */
    public String file(Media media) {
        return media == Media.PROXY ? proxy : original;
    }
}
