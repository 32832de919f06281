package instep.config;

import instep.machine.Place;
import java.util.List;
import java.util.OptionalInt;
import java.util.regex.Pattern;

/** The text of a configuration file, with its lines at hand so that a fault can be shown where it is. */
final class SourceText {
    private static final int SHOWN = 100;
    /** A word and a colon, with something right behind it that is no address and no quotation mark. */
    private static final Pattern GLUED = Pattern.compile("(?:- )?[A-Za-z][\\w.-]*:[^\\s/:\"'].*");

    private final String file;
    private final String text;
    private final List<String> lines;

    SourceText(String file, String text) {
        this.file = file;
        this.text = text;
        // The line breaks of YAML 1.1, section 5.4, which the parser counts by.
        this.lines = List.of(text.split("\r\n|[\n\r\u0085\u2028\u2029]", -1));
    }

    String file() {
        return file;
    }

    String text() {
        return text;
    }

    /** The place of a line and column that are counted from 0; what lies behind the end is brought back to the last text. */
    Place place(int line, int column) {
        int last = Math.min(line, lines.size() - 1);
        int at = last == line ? column : Integer.MAX_VALUE;
        while (last > 0 && last == lines.size() - 1 && lines.get(last).isBlank()) {
            last = lastWithText(last);
            at = Integer.MAX_VALUE;
        }
        return new Place(file, last + 1, Math.min(at, length(last)) + 1);
    }

    /** The place of the character at an index of the text. */
    Place placeOfIndex(int index) {
        String before = text.substring(0, index);
        String[] parts = before.split("\r\n|[\n\r\u0085\u2028\u2029]", -1);
        String start = parts[parts.length - 1];
        return place(parts.length - 1, start.codePointCount(0, start.length()));
    }

    /** The character before a line and column that are counted from 0; a space at the beginning of a line. */
    int before(int line, int column) {
        String content = lines.get(line);
        return column == 0 ? ' ' : content.codePointBefore(content.offsetByCodePoints(0, column));
    }

    /**
     * The last line with text before that line, if a key on it has no space after its colon, such as {@code rate:25}: YAML takes that for text, and complains of what comes next. Counted from 0.
     */
    OptionalInt gluedBefore(int line) {
        for (int i = Math.min(line, lines.size()) - 1; i >= 0; i--) {
            String content = lines.get(i).strip();
            if (!content.isEmpty() && !content.startsWith("#")) {
                return GLUED.matcher(content).matches() ? OptionalInt.of(i) : OptionalInt.empty();
            }
        }
        return OptionalInt.empty();
    }

    /** The text of a line that is counted from 0. */
    String line(int line) {
        return lines.get(line);
    }

    private int lastWithText(int from) {
        int line = from;
        while (line > 0 && lines.get(line).isBlank()) {
            line--;
        }
        return line;
    }

    private int length(int line) {
        String content = lines.get(line);
        return content.codePointCount(0, content.length());
    }

    /** The line with a caret below the place, cut to what fits a screen; nothing for an empty line. */
    String excerpt(Place place) {
        int[] line = lines.get(place.line() - 1).codePoints().toArray();
        if (line.length == 0) {
            return "";
        }
        int column = Math.min(place.column() - 1, line.length);
        int from = Math.max(0, Math.min(column - SHOWN / 2, line.length - SHOWN));
        int to = Math.min(line.length, from + SHOWN);
        StringBuilder shown = new StringBuilder(from > 0 ? "  …" : "  ");
        StringBuilder caret = new StringBuilder(from > 0 ? "   " : "  ");
        for (int i = from; i < to; i++) {
            shown.appendCodePoint(Character.isISOControl(line[i]) && line[i] != '\t' ? '\u00b7' : line[i]);
            if (i < column) {
                caret.append(line[i] == '\t' ? '\t' : ' ');
            }
        }
        return shown.append(to < line.length ? "…\n" : "\n")
                .append(caret)
                .append('^')
                .toString();
    }
}
