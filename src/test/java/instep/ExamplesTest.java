package instep;

import static org.assertj.core.api.Assertions.assertThat;

import instep.config.ConfigReader;
import instep.config.Settings;
import instep.rehearsal.Scenario;
import instep.rehearsal.Verdict;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.MethodSource;

/** Each example does what its scenario says; what they expect was worked out by hand from the comments of the example. */
class ExamplesTest {
    static List<Path> examples() throws Exception {
        return ReadmeTest.examples();
    }

    private static Path beside(Path example, String ending) {
        return Path.of(example.toString().replaceFirst("\\.yaml$", ending));
    }

    @ParameterizedTest
    @MethodSource("examples")
    void doesWhatItsScenarioSays(Path example) throws Exception {
        Settings settings = ConfigReader.read(example);
        Verdict verdict = Verdict.of(Scenario.read(beside(example, ".scenario")), settings);
        assertThat(verdict.report()).allMatch(line -> line.startsWith("  ok"));
        assertThat(verdict.passed()).isGreaterThan(5);
        assertThat(verdict.failed()).isZero();
    }

    /** A scenario that never mentions a contact would not notice if that contact did something else. */
    @ParameterizedTest
    @MethodSource("examples")
    void usesEveryContactInItsScenario(Path example) throws Exception {
        Settings settings = ConfigReader.read(example);
        List<Integer> used = Scenario.read(beside(example, ".scenario")).doings().stream()
                .flatMap(doing -> settings.contact(doing.who()).stream())
                .distinct()
                .toList();
        assertThat(used).hasSameSizeAs(settings.contacts());
    }

    @Test
    void showsSixMappingsBesideTheLesson() throws Exception {
        assertThat(examples()).hasSizeGreaterThanOrEqualTo(7);
        String docs = Files.readString(Path.of("docs/rehearse.md"));
        for (Path example : examples()) {
            assertThat(docs).contains(example.getFileName().toString());
        }
    }
}
