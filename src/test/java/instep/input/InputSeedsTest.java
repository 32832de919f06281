package instep.input;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.net.URISyntaxException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Objects;
import java.util.stream.Stream;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.MethodSource;

/** The inputs that the search begins with, and all that it ever found, without the search. */
class InputSeedsTest {
    private final InputFuzzTest readers = new InputFuzzTest();

    @ParameterizedTest
    @MethodSource("inputs")
    void areReadOrRefused(Path input) throws Exception {
        byte[] bytes = Files.readAllBytes(input);
        String reader = Objects.requireNonNull(input.getParent()).getFileName().toString();
        switch (reader) {
            case "descriptorsOfReports" -> readers.descriptorsOfReports(bytes);
            case "reportsOfADeviceThatDescribesItself" -> readers.reportsOfADeviceThatDescribesItself(bytes);
            case "eventsOfTheKernel" -> readers.eventsOfTheKernel(bytes);
            case "performances" -> readers.performances(bytes);
            default -> throw new AssertionError("nothing reads " + input);
        }
    }

    static List<Path> inputs() throws IOException, URISyntaxException {
        Path folder = Path.of(Objects.requireNonNull(InputSeedsTest.class.getResource("InputFuzzTestInputs"))
                .toURI());
        try (Stream<Path> files = Files.walk(folder)) {
            List<Path> inputs = files.filter(Files::isRegularFile).sorted().toList();
            assertThat(inputs).hasSizeGreaterThan(20);
            return inputs;
        }
    }
}
