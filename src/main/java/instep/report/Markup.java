package instep.report;

import java.io.IOException;
import java.util.ArrayDeque;
import java.util.Deque;

/** Writes HTML with SVG in it. Whatever text comes in, it cannot become markup. */
final class Markup {
    private final Appendable out;
    private final Deque<String> open = new ArrayDeque<>();

    Markup(Appendable out) {
        this.out = out;
    }

    /** Begins an element; attributes are names and values in turn. */
    Markup open(String tag, String... attributes) throws IOException {
        start(tag, attributes);
        open.push(tag);
        return this;
    }

    /** Ends the element that was begun last. */
    Markup close() throws IOException {
        out.append("</").append(open.pop()).append('>');
        return this;
    }

    /** An element that holds text only. */
    Markup element(String tag, String text, String... attributes) throws IOException {
        return open(tag, attributes).text(text).close();
    }

    Markup text(String text) throws IOException {
        escape(text);
        return this;
    }

    /** A new line, for those who read the page's source. */
    Markup line() throws IOException {
        out.append('\n');
        return this;
    }

    /** What is markup already and comes from this program. */
    Markup raw(String markup) throws IOException {
        out.append(markup);
        return this;
    }

    private void start(String tag, String... attributes) throws IOException {
        out.append('<').append(tag);
        for (int i = 0; i < attributes.length; i += 2) {
            out.append(' ').append(attributes[i]).append("=\"");
            escape(attributes[i + 1]);
            out.append('"');
        }
        out.append('>');
    }

    /** HTML, section 13.1: neither control characters nor halves of surrogate pairs may stand in a page. */
    private void escape(String text) throws IOException {
        for (int i = 0; i < text.length(); ) {
            int point = text.codePointAt(i);
            i += Character.charCount(point);
            switch (point) {
                case '&' -> out.append("&amp;");
                case '<' -> out.append("&lt;");
                case '>' -> out.append("&gt;");
                case '"' -> out.append("&quot;");
                case '\'' -> out.append("&#39;");
                default -> out.append(Letters.shown(point));
            }
        }
    }
}
