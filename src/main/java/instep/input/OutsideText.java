package instep.input;

import java.util.Locale;

/** Text from outside, of a device or of who sends, made fit for a terminal, a log and a configuration. */
public final class OutsideText {
    private OutsideText() {}

    /**
     * The same with everything that would not be seen as itself written as what it is: controls (C0, C1), characters that change the direction of what follows or
     * have no width, line separators, halves of characters. {@code \}{@code u202E} is also how YAML 1.2 (section 5.7) and Java write it.
     */
    public static String visible(String text) {
        StringBuilder shown = new StringBuilder();
        text.codePoints().forEach(point -> {
            switch (Character.getType(point)) {
                case Character.CONTROL,
                        Character.FORMAT,
                        Character.LINE_SEPARATOR,
                        Character.PARAGRAPH_SEPARATOR,
                        Character.SURROGATE,
                        Character.UNASSIGNED ->
                    shown.append(String.format(Locale.ROOT, point > 0xffff ? "\\U%08X" : "\\u%04X", point));
                default -> shown.appendCodePoint(point);
            }
        });
        return shown.toString();
    }
}
