package instep.report;

import java.io.IOException;
import java.util.Locale;
import java.util.OptionalLong;

/** Tables on the page: a caption, heads of columns, and in each row a head. A table that is wider than the screen is moved by itself, also with keys. */
final class Tables {
    /** A table of more columns has smaller letters on a phone. */
    private static final int FEW = 4;

    private final Markup out;
    private final String prefix;
    private String[] columns = {};
    private int number;

    Tables(Markup out, String prefix) {
        this.out = out;
        this.prefix = prefix;
    }

    /**
     * Begins a table.
     *
     * @param note stands behind the caption; may be empty
     * @param columns their heads; those of numbers begin with {@code #}
     */
    void begin(String caption, String note, String... columns) throws IOException {
        this.columns = columns.clone();
        String id = prefix + "-" + ++number;
        out.open("section", "class", "table").line();
        out.open(
                "div",
                "class",
                columns.length > FEW ? "wide many" : "wide",
                "tabindex",
                "0",
                "role",
                "group",
                "aria-labelledby",
                id);
        out.open("table").open("caption", "id", id).open("span").text(caption);
        if (!note.isEmpty()) {
            out.text(" ").element("small", note);
        }
        out.close().close().open("thead").open("tr");
        for (String column : columns) {
            if (isNumber(column)) {
                out.element("th", column.substring(1), "scope", "col", "class", "n");
            } else {
                out.element("th", column, "scope", "col");
            }
        }
        out.close().close().line();
        out.open("tbody").line();
    }

    /** What a row begins with: a number and an angle. */
    record Head(int number, int look, String angle) {}

    /** A row whose head is its first cell. */
    void row(String... cells) throws IOException {
        out.open("tr").element("th", cells[0], "scope", "row");
        cells(1, cells);
    }

    /** A row of a shot. */
    void row(Head head, String... cells) throws IOException {
        out.open("tr").open("th", "scope", "row");
        out.element("span", String.valueOf(head.number), "class", "no").text(" ");
        StripFigure.swatch(out, head.look);
        out.text(head.angle).close();
        cells(0, cells);
    }

    private void cells(int first, String... cells) throws IOException {
        int column = columns.length - cells.length + first;
        for (int i = first; i < cells.length; i++) {
            cell(columns[column++], cells[i]);
        }
        out.close().line();
    }

    /** A row that says one thing. */
    void remark(String words) throws IOException {
        out.open("tr").element("td", words, "class", "soft", "colspan", String.valueOf(columns.length));
        out.close().line();
    }

    void end() throws IOException {
        out.close().close().close().close().line();
    }

    /** Two labels are broken between them if at all. */
    private void cell(String column, String text) throws IOException {
        int to = text.indexOf(" to ");
        if (isNumber(column)) {
            // A number keeps its unit beside it.
            out.element("td", text.replaceAll(" (?=ms|%)", "\u00a0"), "class", "n");
        } else if (text.matches("[0-9:;]{11} to [0-9:;]{11}")) {
            out.open("td").element("span", text.substring(0, to), "class", "tc");
            out.text(" ").element("span", text.substring(to + 1), "class", "tc").close();
        } else if (text.matches("[0-9:;]{11}")) {
            out.element("td", text, "class", "tc");
        } else {
            out.element("td", text, "class", text.length() > 24 ? "words" : "word");
        }
    }

    private static boolean isNumber(String column) {
        return column.startsWith("#");
    }

    /** Tenths as a number with one decimal. */
    static String tenths(long tenths) {
        return tenths / 10 + "." + tenths % 10;
    }

    /** Microseconds as milliseconds; a dash if there are none. */
    static String millis(OptionalLong micros) {
        return micros.isEmpty() ? "-" : String.format(Locale.ROOT, "%.1f ms", micros.getAsLong() / 1000.0);
    }
}
