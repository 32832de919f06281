package instep.cutlist;

/**
 * Which sound a timeline has.
 *
 * @param follows that of the angle which is seen
 * @param angle else that of this angle all through; empty: none
 */
public record Sound(boolean follows, String angle) {
    /** The timeline has pictures only. */
    public static final Sound NONE = new Sound(false, "");
    /** It is cut with the pictures. */
    public static final Sound FOLLOWS = new Sound(true, "");

    /** The sound of one angle all through. */
    public static Sound of(String angle) {
        return new Sound(false, angle);
    }
}
