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
    private static final Pattern FENCED = Pattern.compile("^```(?:sh)?\n(.*?)^```", Pattern.DOTALL | Pattern.MULTILINE);
    private static final Pattern TYPED =
            Pattern.compile("^(?:sudo )?(?:instep|java -jar (?:target/)?instep\\.jar) (.*)$");
    private static final Pattern WORD = Pattern.compile("\"([^\"]*)\"|'([^']*)'|(\\S+)");
    private static final Pattern LINK = Pattern.compile("\\]\\(([^)#:]+)(?:#[^)]*)?\\)");
    private static final Pattern PLACE = Pattern.compile("\\]\\(([^)#:]+\\.md|)#([^)]+)\\)");
    private static final Pattern HEADING = Pattern.compile("^#+ (.*)$", Pattern.MULTILINE);

    private static List<Path> pages() throws IOException {
        List<Path> pages = new ArrayList<>(List.of(Path.of("README.md"), Path.of("DEVELOPERS.md")));
        try (Stream<Path> docs = Files.list(Path.of("docs"))) {
            docs.filter(file -> file.toString().endsWith(".md")).sorted().forEach(pages::add);
        }
        return pages;
    }

    static List<String> typed() throws IOException {
        List<String> typed = new ArrayList<>();
        for (Path page : pages()) {
            Matcher block = FENCED.matcher(Files.readString(page));
            while (block.find()) {
                block.group(1)
                        .lines()
                        .flatMap(line -> Stream.of(line.strip().split(" && ")))
                        .map(TYPED::matcher)
                        .filter(Matcher::matches)
                        .forEach(line -> typed.add(line.group(1).replaceAll("\\s+(#|\\||>|&).*|\\s{2,}.*", "")));
            }
        }
        return typed;
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
        for (Path page : pages()) {
            Path folder = page.getNameCount() == 1 ? Path.of("") : page.subpath(0, page.getNameCount() - 1);
            LINK.matcher(Files.readString(page))
                    .results()
                    .map(link -> folder.resolve(link.group(1)))
                    .forEach(
                            target -> assertThat(target).as("a link of " + page).exists());
        }
    }

    @Test
    void linksOnlyToHeadingsThatThePageHas() throws IOException {
        for (Path page : pages()) {
            Matcher link = PLACE.matcher(Files.readString(page));
            while (link.find()) {
                Path target = link.group(1).isEmpty() ? page : page.resolveSibling(link.group(1));
                assertThat(anchors(target))
                        .as("a link of " + page + " to " + target)
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
