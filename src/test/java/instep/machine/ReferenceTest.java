package instep.machine;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Set;
import java.util.stream.Collectors;
import java.util.stream.Stream;
import org.junit.jupiter.api.DynamicTest;
import org.junit.jupiter.api.TestFactory;

/**
 * Random charts, step by step against Qt SCXML 6.4.2 (Debian 12), a general-purpose implementation of W3C SCXML 1.0. Its answers lie in
 * {@code reference/charts.txt}; {@code charts.py} beside it made them and says how to make more. Compared are the order in which states are left
 * and entered, which transitions are taken, internal events, histories, finals and done events.
 *
 * <p>Its limits: what a chart without detours, angles and times can say. Charts that run in a circle are left out, since Qt does not end. Qt
 * takes the transitions of one step in an order of its own, and where transitions of two regions conflict, not always the one that is first in
 * document order, as appendix D has it; there the appendix itself is the reference.
 */
class ReferenceTest {
    /** Where Qt lets a later region win. */
    private static final Set<Integer> LATER_REGION_WINS = Set.of(2, 55, 94, 146, 160, 169, 317, 334, 401, 405);
    /** Where Qt enters states that are active: a deep history inside of them stands for the state that is left. */
    private static final Set<Integer> ENTERS_ACTIVE_STATES = Set.of(384);

    private static final Path CHARTS = Path.of("src/test/resources/reference/charts.txt");

    @TestFactory
    Stream<DynamicTest> everyChart() throws IOException {
        List<String> charts = List.of(Files.readString(CHARTS).split("(?m)^(?=# chart)"));
        assertThat(charts).hasSizeGreaterThan(100);
        return charts.stream()
                .map(Chapter::of)
                .map(chapter -> DynamicTest.dynamicTest("chart " + chapter.number, () -> compare(chapter)));
    }

    /** A chart and what Qt says of it. */
    private record Chapter(int number, String chart, List<String> answers) {
        static Chapter of(String text) {
            String[] parts = text.split("\n\n", 3);
            int number =
                    Integer.parseInt(parts[0].lines().findFirst().orElseThrow().replace("# chart ", ""));
            List<String> answers = parts[1].strip().lines().map(String::strip).toList();
            return new Chapter(number, parts[0].replaceFirst("#.*\n", ""), answers);
        }

        List<String> events() {
            return answers.stream()
                    .map(line -> line.substring(0, line.indexOf(':')))
                    .toList();
        }
    }

    private static void compare(Chapter chapter) {
        boolean qtDiffers = LATER_REGION_WINS.contains(chapter.number) || ENTERS_ACTIVE_STATES.contains(chapter.number);
        Play play = Play.withTransitions(ChartText.of(chapter.chart));
        List<String> heard = new ArrayList<>();
        for (String event : chapter.events()) {
            heard.add(event + ": " + (event.equals("start") ? play : play.event(event)).log());
        }
        if (qtDiffers) {
            assertThat(comparable(heard)).as("no longer differs").isNotEqualTo(comparable(chapter.answers));
            compareWithAppendix(chapter, heard);
        } else {
            assertThat(comparable(heard)).as(chapter.chart).isEqualTo(comparable(chapter.answers));
        }
    }

    private static void compareWithAppendix(Chapter chapter, List<String> heard) {
        AppendixD appendix = new AppendixD(ChartText.of(chapter.chart));
        for (int i = 0; i < heard.size(); i++) {
            String event = chapter.events().get(i);
            try {
                if (event.equals("start")) {
                    appendix.start();
                } else {
                    appendix.event(event);
                }
            } catch (AppendixD.Circle circle) {
                assertThat(heard.get(i)).contains("fault");
                return;
            }
            assertThat(heard.get(i)).as(chapter.chart).isEqualTo(event + ": " + appendix.log());
        }
    }

    private static String comparable(List<String> lines) {
        return lines.stream().map(ReferenceTest::comparable).collect(Collectors.joining("\n"));
    }

    /** Transitions of one step in the order of their numbers: in that order alone Qt differs from appendix D. */
    private static String comparable(String line) {
        List<String> ordered = new ArrayList<>();
        List<String> taken = new ArrayList<>();
        for (String word : line.strip().split(" ")) {
            if (word.matches("t\\d+")) {
                taken.add(word);
            } else {
                taken.stream().sorted().forEach(ordered::add);
                taken.clear();
                ordered.add(word);
            }
        }
        taken.stream().sorted().forEach(ordered::add);
        return String.join(" ", ordered);
    }
}
