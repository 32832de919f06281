package instep.machine;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.TreeMap;
import java.util.regex.Pattern;
import java.util.stream.Collectors;
import java.util.stream.Stream;
import org.junit.jupiter.api.DynamicTest;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.TestFactory;

/**
 * Random charts, step by step against Qt SCXML 6.4.2 (Debian 12), a general-purpose implementation of W3C SCXML 1.0. Its answers lie in
 * {@code reference/charts.txt} and, with delays, {@code delays.txt}; {@code charts.py} beside them made them and says how to make more. Compared are
 * the order in which states are left and entered, which transitions are taken, internal events, histories, finals, done events, and transitions
 * that are taken a while after their state was entered unless it is left before, in virtual time on both sides.
 *
 * <p>Its limits: what a chart without detours, angles, values and delays after an event can say, and no two delays that end at the same instant.
 * Histories stand in compound states only; those of parallel ones are held against the appendix alone. Charts that run in a circle are left out, since Qt does not end. Qt
 * takes the transitions of one step in an order of its own, and where transitions of two regions conflict, not always the one that is first in
 * document order, as appendix D has it; there the appendix itself is the reference.
 */
class ReferenceTest {
    /** Where Qt lets a later region win. */
    private static final Set<Integer> LATER_REGION_WINS = Set.of(2, 55, 94, 146, 160, 169, 317, 334, 401, 405);
    /** Where Qt enters states that are active: a deep history inside of them stands for the state that is left. */
    private static final Set<Integer> ENTERS_ACTIVE_STATES = Set.of(384);

    private static final Path REFERENCE = Path.of("src/test/resources/reference");

    @TestFactory
    Stream<DynamicTest> everyChart() throws IOException {
        return chapters("charts.txt", 200)
                .map(chapter -> DynamicTest.dynamicTest(
                        "chart " + chapter.number,
                        () -> compare(
                                chapter,
                                LATER_REGION_WINS.contains(chapter.number)
                                        || ENTERS_ACTIVE_STATES.contains(chapter.number))));
    }

    @TestFactory
    Stream<DynamicTest> everyChartWithDelays() throws IOException {
        return chapters("delays.txt", 50)
                .map(chapter -> DynamicTest.dynamicTest(
                        "chart " + chapter.number + " with delays",
                        () -> compare(chapter, LATER_REGION_WINS_WITH_DELAYS.contains(chapter.number))));
    }

    private static Stream<Chapter> chapters(String file, int count) throws IOException {
        List<String> charts = List.of(Files.readString(REFERENCE.resolve(file)).split("(?m)^(?=# chart)"));
        assertThat(charts).hasSize(count);
        return charts.stream().map(Chapter::of);
    }

    /** The charts hold what is to be compared, and Qt went through it. */
    @Test
    void coversWhatItIsFor() throws IOException {
        List<Chapter> all = Stream.concat(chapters("charts.txt", 200), chapters("delays.txt", 50))
                .toList();
        Map<String, Long> covered = new TreeMap<>();
        for (String what : List.of(
                "(?m)^ *history", "(?m)^ *deep history", "parallel", "internal", "final", "done.state", " after ")) {
            Pattern pattern = Pattern.compile(what);
            covered.put(
                    what,
                    all.stream().filter(c -> pattern.matcher(c.chart).find()).count());
        }
        assertThat(covered.values()).as("charts with each of %s", covered).allMatch(count -> count >= 50);
        long returns = all.stream().filter(Chapter::returnsThroughAHistory).count();
        assertThat(returns)
                .as("charts in which a history has something to remember")
                .isGreaterThan(25);
    }

    /** The same among those with delays: at f.g.h, t31 of s24 wins over t11 of s13, which is first in document order. */
    private static final Set<Integer> LATER_REGION_WINS_WITH_DELAYS = Set.of(58);

    /** A chart and what Qt says of it. */
    private record Chapter(int number, String chart, List<String> answers) {
        static Chapter of(String text) {
            String[] parts = text.split("\n\n", 3);
            int number =
                    Integer.parseInt(parts[0].lines().findFirst().orElseThrow().replace("# chart ", ""));
            List<String> answers = parts[1].strip().lines().map(String::strip).toList();
            return new Chapter(number, parts[0].replaceFirst("#.*\n", ""), answers);
        }

        /** A state is left, and later a transition that names a history of it as its only target is taken. */
        boolean returnsThroughAHistory() {
            List<String> lines = chart.lines().toList();
            int number = 0;
            Set<String> histories = new HashSet<>();
            lines.stream()
                    .map(String::strip)
                    .filter(line -> line.matches("(deep )?history .*"))
                    .forEach(line -> histories.add(line.replaceAll("(deep )?history (\\w+) .*", "$2")));
            Set<String> toHistory = new HashSet<>();
            for (String line : lines) {
                boolean isTransition = line.strip().matches("(on|always|history|deep history) ?.*");
                String target = line.replaceAll(".* -> (\\w+).*", "$1");
                if (isTransition && histories.contains(target)) {
                    toHistory.add("t" + number);
                }
                number += isTransition ? 1 : 0;
            }
            return answers.stream()
                            .flatMap(line -> Stream.of(line.split(" ")))
                            .filter(toHistory::contains)
                            .count()
                    > 1;
        }

        List<String> events() {
            return answers.stream()
                    .map(line -> line.substring(0, line.indexOf(':')))
                    .toList();
        }
    }

    private static void compare(Chapter chapter, boolean qtDiffers) {
        Play play = Play.withTransitions(ChartText.of(chapter.chart));
        List<String> heard = new ArrayList<>();
        long millis = 0;
        for (String event : chapter.events()) {
            if (event.startsWith("+")) {
                millis += Long.parseLong(event.substring(1));
                play.at(millis + "ms");
            } else if (!event.equals("start")) {
                play.event(event);
            }
            heard.add(event + ": " + play.log());
        }
        if (qtDiffers) {
            assertThat(comparable(heard)).as("no longer differs").isNotEqualTo(comparable(chapter.answers));
            if (!chapter.chart.contains(" after ")) {
                compareWithAppendix(chapter, heard);
            }
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
