package instep.journal;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.util.List;
import org.junit.jupiter.api.Test;

class TextWidthTest {
    /** Unicode Standard Annex 11, as Python's unicodedata has its table: W and F are wide. What is not assigned has no width there. */
    @Test
    void givesTwoColumnsToAllThatIsWide() throws IOException {
        String script = """
                import unicodedata
                for point in range(0x110000):
                    if unicodedata.category(chr(point)) not in ('Cn', 'Cs') and unicodedata.east_asian_width(chr(point)) in 'WF':
                        print(point)
                """;
        Process python = new ProcessBuilder("python3", "-c", script).start();
        List<String> wide = new String(python.getInputStream().readAllBytes(), StandardCharsets.US_ASCII)
                .lines()
                .toList();
        assertThat(wide).hasSizeGreaterThan(100_000);
        assertThat(wide)
                .filteredOn(point -> TextWidth.of(Character.toString(Integer.parseInt(point))) != 2)
                .isEmpty();
    }

    @Test
    void givesOneColumnToLettersOfMostScripts() {
        assertThat(TextWidth.of("wide -> Töpferscheibe, глина, πηλός: \"…\"")).isEqualTo(40);
    }

    @Test
    void cutsNoCharacterInTwo() {
        assertThat(TextWidth.beginning("陶芸🏺", 5)).isEqualTo("陶芸");
        assertThat(TextWidth.beginning("陶芸🏺", 6)).isEqualTo("陶芸🏺");
        assertThat(TextWidth.beginning("陶芸", 3)).isEqualTo("陶");
    }
}
