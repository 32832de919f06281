package instep.journal;

import java.util.LinkedHashMap;
import java.util.Map;

/** What the latest records were that others may name as their cause, so that a line can say by whom it came. Not thread-safe. */
final class Causes {
    private static final int REMEMBERED = 64;

    private final Map<Long, String> events = new LinkedHashMap<>();

    void add(long seq, String event) {
        events.put(seq, event);
        if (events.size() > REMEMBERED) {
            events.remove(events.keySet().iterator().next());
        }
    }

    /** The text, and beside it who did that or what caused it, as far as that is known. */
    String traced(String text, Happening what) {
        String somebody = what.text(Key.BY);
        if (!somebody.isEmpty()) {
            return EventColumns.beside(text, "by somebody at " + somebody);
        }
        String event = events.get(what.number(Key.CAUSE));
        return event == null ? text : by(text, event);
    }

    static String by(String text, String event) {
        return EventColumns.beside(text, "by " + spoken(event));
    }

    /** {@code floor.left.press} as it is said: {@code floor.left press}. */
    static String spoken(String event) {
        int dot = event.lastIndexOf('.');
        return dot < 0 ? event : event.substring(0, dot) + " " + event.substring(dot + 1);
    }
}
