package instep.journal;

import java.util.function.Consumer;
import org.jspecify.annotations.Nullable;

/** The columns of the event log: when and which take, a mark before what needs attention, a word, and what happened. */
final class EventColumns {
    static final int WIDTH = 99;
    /** Where the mark, the word and the text begin. */
    static final int MARK_AT = 22;

    static final int WORD_AT = 25;
    static final int TEXT_AT = 33;
    /** Where a remark begins within the text. */
    private static final int REMARK_AT = 26;

    static final String ATTENTION = "!!";

    private final Consumer<String> out;

    EventColumns(Consumer<String> out) {
        this.out = out;
    }

    /** One line; what does not fit ends in dots, the journal has it all. */
    void plain(String when, String word, String text) {
        String line = head(when, "", word) + printable(text);
        write(TextWidth.of(line) <= WIDTH ? line : TextWidth.beginning(line, WIDTH - 3) + "...");
    }

    /** What needs attention is never cut short: it goes on in further lines, each with the whole head. */
    void urgent(String when, String word, String text) {
        wrapped(head(when, ATTENTION, word), text);
    }

    /** The same for what needs none. */
    void whole(String when, String word, String text) {
        wrapped(head(when, "", word), text);
    }

    private void wrapped(String head, String text) {
        int room = WIDTH - TextWidth.of(head);
        for (String line : text.split("\\R", -1)) {
            String rest = printable(line);
            while (TextWidth.of(rest) > room) {
                int most = TextWidth.beginning(rest, room).length();
                int space = rest.lastIndexOf(' ', most);
                int at = space > 0 ? space : most;
                write(head + rest.substring(0, at));
                rest = rest.substring(at).stripLeading();
            }
            write(head + rest);
        }
    }

    private void write(String line) {
        out.accept(line.stripTrailing());
    }

    private static String head(String when, String mark, String word) {
        StringBuilder out = new StringBuilder(WIDTH);
        fill(out.append(when), MARK_AT).append(mark);
        fill(out, WORD_AT).append(word);
        return fill(out, TEXT_AT).toString();
    }

    /** What happened, with a remark in a column of its own: who did it, or how long it took. */
    static String beside(String text, String remark) {
        return fill(new StringBuilder(WIDTH).append(text), REMARK_AT)
                .append(remark)
                .toString();
    }

    /** Fills up with spaces, at least one. */
    private static StringBuilder fill(StringBuilder out, int width) {
        return out.append(" ".repeat(Math.max(1, width - TextWidth.of(out))));
    }

    /** What gear says may hold anything; nothing of it may steer a terminal. */
    private static String printable(String text) {
        @Nullable StringBuilder out = null;
        for (int i = 0; i < text.length(); i++) {
            if (steers(text.charAt(i))) {
                out = out == null ? new StringBuilder(text) : out;
                out.setCharAt(i, ' ');
            }
        }
        return (out == null ? text : out.toString()).stripTrailing();
    }

    private static boolean steers(char c) {
        return Character.isISOControl(c) || (c >= 0x2028 && c <= 0x202E) || (c >= 0x2066 && c <= 0x2069);
    }
}
