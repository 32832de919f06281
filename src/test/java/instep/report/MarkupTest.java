package instep.report;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.io.StringReader;
import java.util.HashMap;
import java.util.Map;
import javax.xml.parsers.DocumentBuilderFactory;
import net.jqwik.api.ForAll;
import net.jqwik.api.Property;
import org.junit.jupiter.api.Test;
import org.w3c.dom.Element;
import org.xml.sax.InputSource;

/** Whatever gear has said, the page stays a page: read back by the JDK's XML parser. */
class MarkupTest {
    private static Element readBack(String markup) throws Exception {
        return DocumentBuilderFactory.newInstance()
                .newDocumentBuilder()
                .parse(new InputSource(new StringReader(markup)))
                .getDocumentElement();
    }

    @Property
    void anyTextComesBackAsItsVisibleCharacters(@ForAll String text) throws Exception {
        StringBuilder out = new StringBuilder();
        new Markup(out).element("p", text, "title", "t" + text);
        Element read = readBack(out.toString());
        assertThat(read.getTextContent()).isEqualTo(Letters.shown(text));
        assertThat(read.getAttribute("title")).isEqualTo(Letters.shown("t" + text));
        assertThat(read.getChildNodes().getLength()).isLessThanOrEqualTo(1);
    }

    @Test
    void textIsNeverMarkup() throws IOException {
        StringBuilder out = new StringBuilder();
        new Markup(out).element("p", "</p><script>&amp;", "class", "\" onload='x");
        assertThat(out).hasToString("<p class=\"&quot; onload=&#39;x\">&lt;/p&gt;&lt;script&gt;&amp;amp;</p>");
    }

    @Test
    void whatSteersATerminalOrTheDirectionOfWritingIsNotShown() {
        Map<String, String> shown = new HashMap<>();
        for (String text : new String[] {"a\u001b[31mb", "a\u202eb", "a\u0000b", "a\ud800b", "a\nb", "é𝄞"}) {
            shown.put(text, Letters.shown(text));
        }
        assertThat(shown)
                .containsEntry("a\u001b[31mb", "a\uFFFD[31mb")
                .containsEntry("a\u202eb", "a\uFFFDb")
                .containsEntry("a\u0000b", "a\uFFFDb")
                .containsEntry("a\ud800b", "a\uFFFDb")
                .containsEntry("a\nb", "a b")
                .containsEntry("é𝄞", "é𝄞");
    }
}
