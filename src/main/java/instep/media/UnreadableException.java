package instep.media;

/** A file that is no recording; the message is the reason and does not name it. */
public final class UnreadableException extends Exception {
    UnreadableException(String why) {
        super(why);
    }
}
