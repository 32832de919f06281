package instep.time;

/** A text that is no timecode or no duration; the message is a sentence for the person who wrote it. */
public final class TimeSyntaxException extends IllegalArgumentException {
    TimeSyntaxException(String message) {
        super(message);
    }
}
