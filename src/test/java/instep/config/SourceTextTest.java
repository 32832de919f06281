package instep.config;

import static org.assertj.core.api.Assertions.assertThat;

import org.junit.jupiter.api.Test;

class SourceTextTest {
    @Test
    void putsTheCaretBelowTheColumn() {
        SourceText text = new SourceText("f", "one\n  two: 3\n");
        assertThat(text.excerpt(text.place(1, 2))).isEqualTo("    two: 3\n    ^");
    }

    @Test
    void keepsTabsSoThatTheCaretStaysBelow() {
        SourceText text = new SourceText("f", "\ta: b");
        assertThat(text.excerpt(text.place(0, 4))).isEqualTo("  \ta: b\n  \t   ^");
    }

    @Test
    void cutsALongLineAroundThePlace() {
        SourceText text = new SourceText("f", "a".repeat(400) + "X" + "b".repeat(400));
        String[] lines = text.excerpt(text.place(0, 400)).split("\n");

        assertThat(lines[0]).hasSizeLessThan(110).startsWith("  …a").endsWith("b…");
        assertThat(lines[0].charAt(lines[1].indexOf('^'))).isEqualTo('X');
    }

    @Test
    void countsACharacterOutsideTheBasicPlaneAsOne() {
        SourceText text = new SourceText("f", "# \ud83c\udffa x");
        assertThat(text.placeOfIndex(5).column()).isEqualTo(5);
    }

    @Test
    void bringsThePlaceBehindTheLastLineBackToTheLastText() {
        SourceText text = new SourceText("f", "one\ntwo: [\n\n\n");
        assertThat(text.place(4, 0)).hasToString("f:2:7");
    }

    @Test
    void showsNoCharactersThatATerminalWouldObey() {
        SourceText text = new SourceText("f", "a\u001b[31mb");
        assertThat(text.excerpt(text.place(0, 0))).doesNotContain("\u001b");
    }
}
