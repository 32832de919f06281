package instep.report;

import static org.assertj.core.api.Assertions.assertThat;

import instep.cutlist.Refinements;
import instep.cutlist.Shot;
import instep.cutlist.Take;
import java.io.StringReader;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.OptionalLong;
import javax.xml.parsers.DocumentBuilderFactory;
import org.junit.jupiter.api.Test;
import org.w3c.dom.Document;
import org.w3c.dom.Element;
import org.w3c.dom.NodeList;
import org.xml.sax.InputSource;

/** The page, read back by the JDK's XML parser: all but its head is well-formed XML as well. */
class ReportPageTest {
    private static String page(TakeStory... stories) throws Exception {
        StringBuilder body = new StringBuilder();
        StringBuilder whole = new StringBuilder();
        ReportPage page = new ReportPage("What was on air", "takes <1>");
        for (TakeStory story : stories) {
            page.take(story, body);
        }
        page.head(whole, List.of("line 4 is damaged & gone"));
        whole.append(body);
        page.foot(whole, List.of());
        return whole.toString();
    }

    private static Document main(String page) throws Exception {
        String main = page.substring(page.indexOf("<main>"), page.indexOf("</main>") + 7);
        return DocumentBuilderFactory.newInstance().newDocumentBuilder().parse(new InputSource(new StringReader(main)));
    }

    private static List<Element> all(Element in, String tag) {
        List<Element> all = new ArrayList<>();
        NodeList list = in.getElementsByTagName(tag);
        for (int i = 0; i < list.getLength(); i++) {
            all.add((Element) list.item(i));
        }
        return all;
    }

    private static List<Element> ofClass(Document page, String tag, String name) {
        return all(page.getDocumentElement(), tag).stream()
                .filter(element ->
                        List.of(element.getAttribute("class").split(" ")).contains(name))
                .toList();
    }

    /** The bars of a lane as percent of the row: where they begin and end. */
    private static List<String> bars(Element lane) {
        return all(lane, "rect").stream()
                .filter(rect -> rect.getAttribute("class").startsWith("shot"))
                .map(rect -> String.format(
                        Locale.ROOT, "%.1f-%.1f", number(rect, "x"), number(rect, "x") + number(rect, "width")))
                .toList();
    }

    private static double number(Element rect, String name) {
        return Double.parseDouble(rect.getAttribute(name).replace("%", ""));
    }

    @Test
    void drawsEachShotInTheLaneOfItsAngleToScale() throws Exception {
        List<Element> lanes = ofClass(main(page(Stories.plain())), "svg", "lane");
        assertThat(lanes).hasSize(3);
        assertThat(bars(lanes.get(0))).containsExactly("0.0-25.0", "50.0-75.0");
        assertThat(bars(lanes.get(1))).containsExactly("25.0-50.0");
        assertThat(bars(lanes.get(2))).containsExactly("75.0-100.0");
    }

    @Test
    void drawsWhatTheRefinementsMadeOfItBelow() throws Exception {
        List<Element> lanes = ofClass(main(page(Stories.refined())), "svg", "lane");
        assertThat(lanes).hasSize(6);
        assertThat(bars(lanes.get(0))).containsExactly("0.0-25.0", "50.0-75.0");
        assertThat(bars(lanes.get(3))).containsExactly("0.0-25.0", "62.5-75.0");
        List<Element> out = all(lanes.get(4), "line").stream()
                .filter(line -> line.getAttribute("class").equals("out"))
                .toList();
        assertThat(out).hasSize(1);
        assertThat(number(out.get(0), "x1")).isEqualTo(50.0);
        assertThat(number(out.get(0), "x2")).isEqualTo(62.5);
    }

    @Test
    void anglesLookDifferentWithoutColour() throws Exception {
        List<Element> lanes = ofClass(main(page(Stories.plain())), "svg", "lane");
        List<String> over = lanes.stream()
                .map(lane -> all(lane, "line").isEmpty()
                        ? "none"
                        : all(lane, "line").get(0).getAttribute("class"))
                .toList();
        assertThat(over).doesNotHaveDuplicates();
    }

    @Test
    void tablesHaveCaptionsAndHeadsOfColumnsAndRows() throws Exception {
        Document page = main(page(full(), full()));
        List<Element> tables = all(page.getDocumentElement(), "table");
        assertThat(tables).hasSizeGreaterThan(10);
        for (Element table : tables) {
            assertThat(all(table, "caption")).hasSize(1);
            assertThat(all(table, "th")).allMatch(head -> head.hasAttribute("scope"));
            int columns = all(all(table, "thead").get(0), "th").size();
            for (Element row : all(all(table, "tbody").get(0), "tr")) {
                boolean remark = all(row, "td").size() == 1 && all(row, "th").isEmpty();
                assertThat(remark || all(row, "td").size() + 1 == columns).isTrue();
            }
        }
    }

    @Test
    void idsAreThereOnceAndLinksLeadToThem() throws Exception {
        Element main = main(page(full(), full())).getDocumentElement();
        List<String> ids = all(main, "*").stream()
                .map(element -> element.getAttribute("id"))
                .filter(id -> !id.isEmpty())
                .toList();
        assertThat(ids).doesNotHaveDuplicates();
        assertThat(all(main, "a"))
                .hasSize(2)
                .allMatch(link -> ids.contains(link.getAttribute("href").substring(1)));
    }

    @Test
    void needsNothingElse() throws Exception {
        assertThat(page(full()))
                .startsWith("<!DOCTYPE html>\n<html lang=\"en\">")
                .contains("default-src 'none'")
                .doesNotContain("<script", "http://", "https://", "src=", "@import");
    }

    @Test
    void tellsWhatTheJournalSays() throws Exception {
        String page = page(full());
        assertThat(page)
                .contains("From the journal takes &lt;1&gt;.")
                .contains("line 4 is damaged &amp; gone")
                .contains("&lt;again&gt;")
                .contains("down when the take began, 1 loss, 2 messages missed")
                .contains("0.4\u00a0ms / 0.4\u00a0ms / 0.4\u00a0ms")
                .contains("It ran 12 millionths slower than this machine")
                .contains("99.9\u00a0%")
                .contains("(the programme needs 00:00.040 of it)");
    }

    @Test
    void aTakeWithoutFramesHasNoPicture() throws Exception {
        Take empty = new Take(2, 50, 50, true, List.of(), List.of());
        Document page = main(page(Stories.of(empty, Refinements.NONE, Stories.QUIET, List.of())));
        assertThat(all(page.getDocumentElement(), "figure")).isEmpty();
        assertThat(page.getDocumentElement().getTextContent()).contains("It has no frames");
    }

    @Test
    void aLongTakeIsFoldedAndKeepsItsScale() throws Exception {
        Take hour = new Take(
                1,
                0,
                90_100,
                true,
                List.of(new Shot(1, "wide", 0, 90_000), new Shot(1, "wheel", 90_000, 90_100)),
                List.of());
        Document page = main(page(Stories.of(hour, Refinements.NONE, Stories.QUIET, List.of())));
        List<Element> lanes = ofClass(page, "svg", "lane");
        assertThat(bars(lanes.get(0))).containsExactly("0.0-100.0");
        double last = 100.0 * 100 / (25 * 600);
        assertThat(bars(lanes.get(lanes.size() - 1))).containsExactly(String.format(Locale.ROOT, "0.0-%.1f", last));
    }

    private static TakeStory full() {
        Spread sent = new Spread();
        sent.add(400);
        Trail trail = new Trail(
                "40",
                List.of(new LinkFigures("mixer", false, sent, new Spread(), new Spread(), 2, 0, 1)),
                new SyncFigures(
                        "ltc",
                        "locked",
                        false,
                        List.of(new SyncStep(900_010, "ltc", "freewheeling")),
                        3,
                        1,
                        25,
                        OptionalLong.of(400),
                        OptionalLong.of(-12)),
                List.of(new Trouble(900_100, "fault", "mixer", "answered </td>503")),
                5);
        List<Cover> cover = List.of(new Cover("wide", "original", 2, 999, List.of(new Cover.Gap(900_000, 900_001, 1))));
        TakeStory refined = Stories.refined();
        return new TakeStory(
                refined.day(), refined.file(), refined.angles(), refined.refined(), refined.timeline(), trail, cover);
    }
}
