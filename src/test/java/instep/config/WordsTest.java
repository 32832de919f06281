package instep.config;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.List;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

class WordsTest {
    /** kitten/sitting and Saturday/Sunday: the worked examples of most textbooks on edit distance; ca/ac: one swap of neighbours. */
    @ParameterizedTest
    @CsvSource({"kitten,sitting,3", "saturday,sunday,3", "ca,ac,1", "reel,reel,0", "reel,'',4"})
    void countsEdits(String a, String b, int edits) {
        assertThat(Words.distance(a, b)).isEqualTo(edits);
        assertThat(Words.distance(b, a)).isEqualTo(edits);
    }

    @ParameterizedTest
    @CsvSource({"whel,wheel", "WHEEL,wheel", "hnads,hands", "gear,''", "x,''"})
    void findsTheWordThatWasMeant(String given, String meant) {
        assertThat(Words.nearest(given, List.of("wide", "wheel", "hands")).orElse(""))
                .isEqualTo(meant);
    }

    @ParameterizedTest
    @CsvSource({"29.97df,29.97-drop", "29.97 DF,29.97-drop", "59.94d,59.94-drop", "29.97x,29.97", "25p,25"})
    void takesALetterBehindANumberForWhatItSays(String given, String meant) {
        assertThat(Words.nearest(given, List.of("25", "29.97", "29.97-drop", "59.94", "59.94-drop"))
                        .orElse(""))
                .isEqualTo(meant);
    }

    /** The number and letter at its beginning say nothing of such a name. */
    @Test
    void takesTheNearestOfNamesThatBeginWithANumber() {
        assertThat(Words.nearest("1209:b0b1", List.of("1209:beef", "1209:b0b0")))
                .hasValue("1209:b0b0");
    }

    @Test
    void listsWordsAsAPersonWould() {
        assertThat(Words.either(List.of("a"))).isEqualTo("a");
        assertThat(Words.either(List.of("a", "b", "c"))).isEqualTo("a, b or c");
    }

    @Test
    void quotesWhatATerminalWouldObey() {
        assertThat(Words.quote("a\u001b[31m")).isEqualTo("\"a\\u001b[31m\"");
    }

    @Test
    void shortensLongText() {
        assertThat(Words.quote("a".repeat(500))).hasSizeLessThan(70).endsWith("…\"");
    }
}
