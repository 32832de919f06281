package instep.input;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.net.URISyntaxException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Arrays;
import java.util.List;
import java.util.Objects;
import java.util.stream.Stream;
import net.jqwik.api.Arbitraries;
import net.jqwik.api.Arbitrary;
import net.jqwik.api.ForAll;
import net.jqwik.api.Property;
import net.jqwik.api.Provide;
import net.jqwik.api.constraints.IntRange;
import net.jqwik.api.constraints.Size;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.MethodSource;

/** Well-formed and malformed bytes for each of the readers, as they are and with bytes changed, cut off and repeated. */
class InputsTest {
    private final Readers readers = new Readers();

    @ParameterizedTest
    @MethodSource("inputs")
    void areReadOrRefused(Path input) throws Exception {
        read(input, Files.readAllBytes(input));
    }

    /** More, or longer, with {@code -Djqwik.tries.default}. */
    @Property
    void areReadOrRefusedWithWhateverChanges(
            @ForAll("input") Path input,
            @ForAll @Size(max = 12) List<@IntRange(min = 0, max = 0xffffff) Integer> changes,
            @ForAll @IntRange(min = 0, max = 400) int end,
            @ForAll boolean twice)
            throws Exception {
        byte[] bytes = Files.readAllBytes(input);
        for (int change : changes) {
            bytes[(change >> Byte.SIZE) % bytes.length] = (byte) change;
        }
        byte[] cut = Arrays.copyOf(bytes, Math.min(end, bytes.length));
        read(input, cut);
        if (twice) {
            byte[] both = Arrays.copyOf(cut, cut.length + bytes.length);
            System.arraycopy(bytes, 0, both, cut.length, bytes.length);
            read(input, both);
        }
    }

    private void read(Path input, byte[] bytes) throws Exception {
        switch (Objects.requireNonNull(input.getParent()).getFileName().toString()) {
            case "descriptorsOfReports" -> readers.descriptorsOfReports(bytes);
            case "reportsOfADeviceThatDescribesItself" -> readers.reportsOfADeviceThatDescribesItself(bytes);
            case "eventsOfTheKernel" -> readers.eventsOfTheKernel(bytes);
            case "performances" -> readers.performances(bytes);
            default -> throw new AssertionError("nothing reads " + input);
        }
    }

    @Provide
    Arbitrary<Path> input() throws IOException, URISyntaxException {
        return Arbitraries.of(inputs());
    }

    static List<Path> inputs() throws IOException, URISyntaxException {
        Path folder = Path.of(
                Objects.requireNonNull(InputsTest.class.getResource("inputs")).toURI());
        try (Stream<Path> files = Files.walk(folder)) {
            List<Path> inputs = files.filter(Files::isRegularFile).sorted().toList();
            assertThat(inputs).hasSizeGreaterThan(20);
            return inputs;
        }
    }
}
