package instep;

import static org.assertj.core.api.Assertions.assertThat;

import instep.advice.CheckReport;
import instep.config.ConfigReader;
import instep.config.Settings;
import instep.input.Performance;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.stream.Stream;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.MethodSource;

/** What the README and the examples promise holds. */
class ReadmeTest {
    private static final Path EXAMPLES = Path.of("config-examples");

    static List<Path> examples() throws Exception {
        try (Stream<Path> files = Files.list(EXAMPLES)) {
            return files.filter(file -> file.toString().endsWith(".yaml"))
                    .sorted()
                    .toList();
        }
    }

    @Test
    void testsByTheCommandThatContinuousIntegrationRuns() throws Exception {
        String readme = Files.readString(Path.of("README.md"));
        List<String> run = Files.readAllLines(Path.of(".ci/run"));
        String command =
                run.stream().filter(line -> line.startsWith("mvn")).findFirst().orElseThrow();
        assertThat(command).isEqualTo("mvn -B verify");
        assertThat(readme).contains("&& " + command + "\n```");
    }

    @ParameterizedTest
    @MethodSource("examples")
    void showsOnlySoundExamples(Path example) throws Exception {
        Settings settings = ConfigReader.read(example);
        assertThat(CheckReport.of(settings)).contains("is sound", "contacts");
    }

    @Test
    void playsOnlyContactsThatTheExampleHas() throws Exception {
        Settings settings = ConfigReader.read(EXAMPLES.resolve("pottery.yaml"));
        Performance lesson = Performance.read(EXAMPLES.resolve("pottery.performance"));
        for (String contact : lesson.contacts()) {
            assertThat(settings.contact(contact)).isPresent();
        }
    }

    @Test
    void commandsNothingButDocumentationAddresses() throws Exception {
        for (Path example : examples()) {
            for (var gear : ConfigReader.read(example).gear()) {
                // RFC 5737, section 3: 192.0.2.0/24 is for documentation.
                assertThat(gear.address()).containsAnyOf("192.0.2.", "127.0.0.1");
            }
        }
    }
}
