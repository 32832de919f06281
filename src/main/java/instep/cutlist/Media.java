package instep.cutlist;

/** Which of the files of an angle is meant. */
public enum Media {
    /** Small pictures to cut with. */
    PROXY("proxy"),
    /** What the camera has recorded. */
    ORIGINAL("original");

    private final String word;

    Media(String word) {
        this.word = word;
    }

    /** The word in a configuration. */
    public String word() {
        return word;
    }
}
