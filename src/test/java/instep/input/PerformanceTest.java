package instep.input;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatExceptionOfType;

import instep.input.Performance.Edge;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.SplittableRandom;
import net.jqwik.api.ForAll;
import net.jqwik.api.Property;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

class PerformanceTest {
    @Test
    void readsOneEdgeALine() throws PerformanceException {
        Performance performance = Performance.parse("lesson", """
                # a lesson
                0.700   right close
                0.7     floor.left close   # at the same time

                \t1:05.250 right\topen
                65.250000001 floor.left open
                """);
        assertThat(performance.edges())
                .containsExactly(
                        new Edge(700_000_000L, "right", true),
                        new Edge(700_000_000L, "floor.left", true),
                        new Edge(65_250_000_000L, "right", false),
                        new Edge(65_250_000_001L, "floor.left", false));
        assertThat(performance.contacts()).containsExactlyInAnyOrder("right", "floor.left");
        assertThat(performance.length()).isEqualTo(65_250_000_001L);
    }

    @Test
    void readsLinesThatEndAsOtherSystemsEndThem() throws PerformanceException {
        assertThat(Performance.parse("lesson", "\uFEFF1 left close\r\n2 left open")
                        .edges())
                .containsExactly(new Edge(1_000_000_000L, "left", true), new Edge(2_000_000_000L, "left", false));
    }

    @Test
    void isEmptyWithoutEdges() throws PerformanceException {
        Performance performance = Performance.parse("lesson", "# nothing\n\n");
        assertThat(performance.edges()).isEmpty();
        assertThat(performance.length()).isZero();
    }

    @ParameterizedTest
    @CsvSource(delimiter = '|', textBlock = """
            0.7 right                  | expected a time, a contact and close or open, such as: 0.700 right close
            0.7 right close now        | expected a time, a contact and close or open, such as: 0.700 right close
            soon right close           | "soon" is not a time; expected seconds such as 5.25, or 1:05.250
            -1 right close             | "-1" is not a time; expected seconds such as 5.25, or 1:05.250
            1e3 right close            | "1e3" is not a time; expected seconds such as 5.25, or 1:05.250
            .5 right close             | ".5" is not a time; expected seconds such as 5.25, or 1:05.250
            0.1234567891 right close   | "0.1234567891" is not a time; expected seconds such as 5.25, or 1:05.250
            1:60.0 right close         | "1:60.0" is not a time; after minutes there are two digits, 00 to 59
            1:5.0 right close          | "1:5.0" is not a time; after minutes there are two digits, 00 to 59
            0.7 right press            | "press" is neither close nor open
            0.7 right Close            | "Close" is neither close nor open
            0.7 a.b.c close            | "a.b.c" cannot be a contact; expected a name such as right or floor.right
            0.7 left+right close       | "left+right" cannot be a contact; expected a name such as right or floor.right
            0.4 right close            | time goes back: 0.400 comes after 0.500
            """)
    void saysWhatIsWrongWithALine(String line, String sentence) {
        assertThatExceptionOfType(PerformanceException.class)
                .isThrownBy(() -> Performance.parse("lesson", "# one\n0.5 left close\n" + line + "\n"))
                .withMessage("lesson:3: " + sentence)
                .satisfies(fault -> {
                    assertThat(fault.line()).isEqualTo(3);
                    assertThat(fault.sentence()).isEqualTo(sentence);
                });
    }

    @Test
    void saysThatAFileIsNotThere(@TempDir Path directory) {
        Path file = directory.resolve("lesson");
        assertThatExceptionOfType(PerformanceException.class)
                .isThrownBy(() -> Performance.read(file))
                .withMessage(file + ": there is no such file");
    }

    /** Ten thousand edges a second for a minute: no foot, and no reason to run out of memory. */
    @Test
    void refusesAFileThatNoFeetHaveMade(@TempDir Path directory) throws IOException {
        Path file = directory.resolve("flood.performance");
        Files.writeString(file, "1.0000 right close\n1.0001 right open\n".repeat(300_000));
        assertThatExceptionOfType(PerformanceException.class)
                .isThrownBy(() -> Performance.read(file))
                .withMessageContaining("is larger than 2 MiB");
    }

    @Test
    void saysThatAFileIsNoText(@TempDir Path directory) throws IOException {
        Path file = Files.write(directory.resolve("lesson"), new byte[] {(byte) 0xff, (byte) 0xfe, 0});
        assertThatExceptionOfType(PerformanceException.class)
                .isThrownBy(() -> Performance.read(file))
                .withMessage(file + ": this is not text in UTF-8");
    }

    @Test
    void writesTimesAsAPersonWould() {
        Performance performance = new Performance(
                "lesson",
                List.of(
                        new Edge(0, "left", true),
                        new Edge(59_999_000_000L, "left", false),
                        new Edge(60_000_000_001L, "left", true),
                        new Edge(3_605_250_000_000L, "left", false)));
        assertThat(performance.toText()).isEqualTo("""
                0.000 left close
                59.999 left open
                1:00.000000001 left close
                60:05.250 left open
                """);
    }

    @Property
    void readsWhatItWrites(@ForAll long seed) throws PerformanceException {
        SplittableRandom random = new SplittableRandom(seed);
        List<Edge> edges = new ArrayList<>();
        long at = 0;
        for (int i = random.nextInt(50); i > 0; i--) {
            at += random.nextLong(1L << random.nextInt(1, 40));
            edges.add(new Edge(at, random.nextBoolean() ? "left" : "floor.right-2", random.nextBoolean()));
        }
        Performance performance = new Performance("lesson", edges);
        assertThat(Performance.parse("lesson", performance.toText())).isEqualTo(performance);
    }

    @Test
    void theLessonOfTheExamplesLastsAMinuteAndLeavesNothingClosed() throws PerformanceException {
        Performance lesson = Performance.read(Path.of("config-examples/pottery.performance"));
        assertThat(lesson.length()).isBetween(55_000_000_000L, 65_000_000_000L);
        assertThat(lesson.contacts()).containsExactlyInAnyOrder("left", "middle", "right");
        Map<String, Boolean> closed = new HashMap<>();
        for (Edge edge : lesson.edges()) {
            assertThat(closed.put(edge.contact(), edge.closed()))
                    .as("%s at %d", edge.contact(), edge.nanos())
                    .isNotEqualTo(edge.closed());
        }
        assertThat(closed)
                .containsOnly(Map.entry("left", false), Map.entry("middle", false), Map.entry("right", false));
    }
}
