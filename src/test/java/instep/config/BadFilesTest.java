package instep.config;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.catchThrowableOfType;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.stream.Stream;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.MethodSource;

/** Each bad file begins with what is to be said about it, {@code # expect LINE:COLUMN TEXT}, in the order of the file. */
class BadFilesTest {
    private static final Path FOLDER = Path.of("src/test/resources/config/bad");
    private static final String EXPECT = "# expect ";

    static List<Path> files() throws IOException {
        try (Stream<Path> files = Files.list(FOLDER)) {
            return files.sorted().toList();
        }
    }

    @ParameterizedTest
    @MethodSource("files")
    void namesEveryFaultAndNoOther(Path file) throws IOException {
        List<String> expected = Files.readAllLines(file).stream()
                .filter(line -> line.startsWith(EXPECT))
                .map(line -> line.substring(EXPECT.length()))
                .toList();

        ConfigException refusal =
                catchThrowableOfType(ConfigException.class, () -> ConfigReader.read(file, TestKeys.CODES));

        List<String> found = new ArrayList<>();
        for (int i = 0; i < refusal.faults().size(); i++) {
            ConfigException.Fault fault = refusal.faults().get(i);
            String said = fault.place().line() + ":" + fault.place().column() + " " + fault.text();
            boolean begins = i < expected.size() && said.startsWith(expected.get(i));
            found.add(begins ? expected.get(i) : said);
        }
        assertThat(found).isEqualTo(expected).isNotEmpty();
    }
}
