package instep.gesture;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.stream.Stream;
import org.junit.jupiter.api.DynamicTest;
import org.junit.jupiter.api.TestFactory;

/** Plays every file in {@code scenarios}: what feet do, a blank line, the gestures that come of it. */
class ScenariosTest {
    private static final Path SCENARIOS = Path.of("src/test/resources/scenarios");

    @TestFactory
    Stream<DynamicTest> everyScenario() throws IOException {
        List<Path> files;
        try (Stream<Path> listed = Files.list(SCENARIOS)) {
            files = listed.filter(file -> file.toString().endsWith(".txt"))
                    .sorted()
                    .toList();
        }
        assertThat(files).hasSizeGreaterThan(30);
        return files.stream().map(file -> DynamicTest.dynamicTest(name(file), () -> play(file)));
    }

    private static String name(Path file) {
        return file.getFileName().toString().replace(".txt", "").replace('-', ' ');
    }

    private static void play(Path file) throws IOException {
        Scenario scenario = new Scenario(Files.readAllLines(file));
        assertThat(scenario.expected()).isNotEmpty();
        assertThat(scenario.played(0)).isEqualTo(scenario.expected());
        assertThat(new Scenario(Files.readAllLines(file)).played(700_000))
                .as("told the time every 0.7 ms")
                .isEqualTo(scenario.expected());
    }
}
