package instep.journal;

import java.util.Locale;

/** A record of what timecode counts from, in words for the person who follows the event log. */
record SyncWords(Happening sync) {
    String state() {
        return sync.text(Key.STATE);
    }

    /** Frames may be others from here on than those that would have followed. */
    boolean isElsewhere() {
        return state().equals("jumped") || state().equals("locked");
    }

    /** Timecode goes on as before, and follows another clock. */
    boolean isSmallStep() {
        return state().equals("follows");
    }

    boolean isUrgent() {
        return switch (state()) {
            case "jumped", "freewheeling", "lost" -> true;
            default -> false;
        };
    }

    boolean isUnsynchronized() {
        return sync.text(Key.CLOCK).equals("unsynchronized");
    }

    /** The sentence; {@code label} is that of its frame. */
    String text(String label) {
        String source = sync.text(Key.SOURCE);
        String counts = "timecode counts from " + label + ", source " + source + known();
        return switch (state()) {
            case "" -> counts;
            case "follows" -> counts + ", which it follows";
            case "jumped" -> counts + ", which has jumped";
            case "freewheeling" -> "no " + source + ": timecode goes on by itself for now";
            case "lost" -> lost(source);
            default -> counts + ", " + state();
        };
    }

    /** What an editor may want to know of it; of a clock that is synchronized, or of a thousandth of a second, nothing. */
    private String known() {
        if (isUnsynchronized()) {
            return ", no NTP";
        }
        long micros = sync.number(Key.UNCERTAINTY_US);
        return micros < 2_000 ? "" : String.format(Locale.ROOT, " to %.0f ms", micros / 1_000.0);
    }

    private static String lost(String source) {
        return source.equals("time-of-day")
                ? "no timecode has come in: it is the time of day until some does"
                : source + " is lost: timecode goes on by itself and drifts; look at its cable and its player";
    }
}
