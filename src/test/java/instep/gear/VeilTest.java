package instep.gear;

import static org.assertj.core.api.Assertions.assertThat;

import java.nio.charset.StandardCharsets;
import java.util.List;
import net.jqwik.api.ForAll;
import net.jqwik.api.Property;
import net.jqwik.api.constraints.IntRange;
import net.jqwik.api.constraints.Size;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

class VeilTest {
    private static final String SECRET = "clay-and-water-7";

    private final Veil veil = new Veil(List.of(SECRET, "cG90dGVyOmNsYXk="));

    /** A text is cut off at 160 or 200 characters, with an ellipsis or without. */
    @ParameterizedTest
    @CsvSource({
        "you sent clay-and-water-7 twice: clay-and-water-7, you sent (secret) twice: (secret)",
        "you sent clay-and-wat, you sent (secret)",
        "you sent clay-and-wat…, you sent (secret)…",
        "you sent cla, you sent (secret)",
        "Basic cG90dGVyOmNs…, Basic (secret)…",
        "you sent cl, you sent cl",
        "200 OK, 200 OK",
        "wet clay, wet (secret)"
    })
    void hidesATextThatIsCutOff(String said, String shown) {
        assertThat(veil.over(said)).isEqualTo(shown);
    }

    /** However the bytes are cut into pieces, no more than the first character of a part is seen, and what is no part of it always is. */
    @Property
    void hidesATextThatIsSpreadOverPieces(
            @ForAll @Size(min = 1, max = 30) List<@IntRange(min = 1, max = 9) Integer> cuts) {
        String said = "GET / HTTP/1.1\r\nX: " + SECRET + "\r\n\r\nclay clay-and " + SECRET + SECRET + "}";
        byte[] bytes = said.getBytes(StandardCharsets.US_ASCII);
        Veil.Stream stream = veil.stream();
        StringBuilder shown = new StringBuilder();
        int from = 0;
        for (int i = 0; from < bytes.length; i++) {
            int to = Math.min(bytes.length, from + cuts.get(i % cuts.size()));
            byte[] piece = java.util.Arrays.copyOfRange(bytes, from, to);
            shown.append(new String(stream.over(piece), StandardCharsets.US_ASCII));
            from = to;
        }
        assertThat(shown).hasSize(said.length());
        assertThat(shown.toString())
                .startsWith("GET / HTTP/1.1\r\nX: " + "*".repeat(SECRET.length()) + "\r\n")
                .endsWith("*".repeat(2 * SECRET.length()) + "}");
    }

    @Test
    void showsAllWhereNothingIsHidden() {
        Veil none = new Veil(List.of());
        assertThat(none.over("clay-and-water-7")).isEqualTo("clay-and-water-7");
        assertThat(none.stream().over(new byte[] {1, 2, 3})).containsExactly(1, 2, 3);
    }
}
