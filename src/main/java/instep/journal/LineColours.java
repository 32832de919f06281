package instep.journal;

import java.util.Map;

/**
 * Paints lines of the event log for a terminal (ECMA-48, SGR). Colour only underlines what a line says in words: without it nothing is missing.
 */
public final class LineColours {
    private static final String PLAIN = "\u001b[0m";
    private static final String RED = "\u001b[1;31m";
    private static final Map<String, String> BY_WORD = Map.of(
            "CUT", "\u001b[1m",
            "TAKE", "\u001b[1;32m",
            "MARK", "\u001b[33m",
            "SENT", "\u001b[2m",
            "REPLY", "\u001b[2m",
            "SYNC", "\u001b[2m");

    private LineColours() {}

    /** The line in the colour of its word; what needs attention is red whatever its word. */
    public static String paint(String line) {
        String colour = colour(line);
        return colour.isEmpty() ? line : colour + line + PLAIN;
    }

    private static String colour(String line) {
        if (line.startsWith(EventColumns.ATTENTION, EventColumns.MARK_AT)) {
            return RED;
        }
        if (line.length() < EventColumns.TEXT_AT) {
            return "";
        }
        String word = line.substring(EventColumns.WORD_AT, EventColumns.TEXT_AT).strip();
        return BY_WORD.getOrDefault(word, "");
    }
}
