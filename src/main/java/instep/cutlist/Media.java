package instep.cutlist;

/** Which of the files of an angle is meant. */
public enum Media {
    /** Small pictures to cut with. */
    PROXY("proxy", "proxies"),
    /** What the camera has recorded. */
    ORIGINAL("original", "originals");

    private final String word;
    private final String several;

    Media(String word, String several) {
        this.word = word;
        this.several = several;
    }

    /** The word in a configuration. */
    public String word() {
        return word;
    }

    /** The word for more than one, for a person. */
    public String several() {
        return several;
    }
}
