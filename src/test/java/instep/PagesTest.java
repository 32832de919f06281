package instep;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatCode;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import java.util.stream.Stream;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.MethodSource;

/** What the pages tell a reader to type is what the program takes, and what they link to is there. */
class PagesTest {
    private static final Pattern TYPED =
            Pattern.compile("^(?:sudo )?(?:instep|java -jar (?:target/)?instep\\.jar) (.*)$");
    private static final Pattern WORD = Pattern.compile("\"([^\"]*)\"|'([^']*)'|(\\S+)");
    private static final Pattern LINK = Pattern.compile("\\]\\(([^)#:]+)(?:#[^)]*)?\\)");
    private static final Pattern PLACE = Pattern.compile("\\]\\(([^)#:]+\\.md|)#([^)]+)\\)");
    private static final Pattern HEADING = Pattern.compile("^#+ (.*)$", Pattern.MULTILINE);

    private static List<Page> pages() throws IOException {
        List<Page> pages = new ArrayList<>(Page.ofUsers());
        pages.add(Page.of(Path.of("DEVELOPERS.md")));
        return pages;
    }

    static List<String> typed() throws IOException {
        return pages().stream()
                .flatMap(page -> page.blocks().stream())
                .flatMap(String::lines)
                .flatMap(line -> Stream.of(line.strip().split(" && ")))
                .map(TYPED::matcher)
                .filter(Matcher::matches)
                .map(line -> line.group(1).replaceAll("\\s+(#|\\||>|&).*|\\s{2,}.*", ""))
                .toList();
    }

    private static String[] words(String line) {
        return WORD.matcher(line)
                .results()
                .map(word ->
                        word.group(1) != null ? word.group(1) : word.group(2) != null ? word.group(2) : word.group(3))
                .toArray(String[]::new);
    }

    @ParameterizedTest
    @MethodSource("typed")
    void tellsOnlyCommandsThatTheProgramTakes(String line) {
        assertThatCode(() -> Main.commandLine().parseArgs(words(line))).as(line).doesNotThrowAnyException();
    }

    @Test
    void linksOnlyToWhatIsThere() throws IOException {
        for (Page page : pages()) {
            LINK.matcher(page.text())
                    .results()
                    .map(link -> page.file().resolveSibling(link.group(1)))
                    .forEach(target ->
                            assertThat(target).as("a link of " + page.file()).exists());
        }
    }

    @Test
    void linksOnlyToHeadingsThatThePageHas() throws IOException {
        for (Page page : pages()) {
            Matcher link = PLACE.matcher(page.text());
            while (link.find()) {
                Path target =
                        link.group(1).isEmpty() ? page.file() : page.file().resolveSibling(link.group(1));
                assertThat(anchors(target))
                        .as("a link of " + page.file() + " to " + target)
                        .contains(link.group(2));
            }
        }
    }

    /** What a heading is called in links: small letters and digits, hyphens for spaces (common practice, no source). */
    private static List<String> anchors(Path page) throws IOException {
        return HEADING.matcher(Files.readString(page))
                .results()
                .map(heading -> heading.group(1)
                        .toLowerCase(Locale.ROOT)
                        .replaceAll("[^a-z0-9 _-]", "")
                        .replace(' ', '-'))
                .toList();
    }
}
