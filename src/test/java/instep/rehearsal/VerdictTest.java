package instep.rehearsal;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import instep.config.ConfigReader;
import instep.config.Settings;
import instep.input.PerformanceException;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/** Scenarios over the example of the pottery lesson. */
class VerdictTest {
    private static final String EDGES = """
            # a take, and one look at the wheel
            1.200 right close
            1.900 right open
            7.500 left  close
            9.000 left  open
            """;

    private static Settings settings;

    @BeforeAll
    static void read() throws Exception {
        settings = ConfigReader.read(Path.of("config-examples/pottery.yaml"));
    }

    private static Verdict verdict(String expected) throws PerformanceException {
        return Verdict.of(Scenario.parse("a.scenario", EDGES + "expect:\n" + expected), settings);
    }

    private static List<Line> rehearsed(String text) throws PerformanceException {
        List<Line> lines = new ArrayList<>();
        Scenario.parse("a.scenario", text).play(settings, lines::add);
        return lines;
    }

    @Test
    void passesWhenAllCameThatWasExpected() throws Exception {
        Verdict verdict = verdict("""
                1.700 take 1
                1.700 cut wide      # remarks are for people
                7.5   cut wheel
                9.000 cut wide
                """);
        assertThat(verdict.report()).hasSize(4).allMatch(line -> line.startsWith("  ok "));
        assertThat(verdict.passed()).isEqualTo(4);
        assertThat(verdict.failed()).isZero();
    }

    @Test
    void tellsWhereSomethingCameAtAnotherTimeAndGoesOnBehindIt() throws Exception {
        Verdict verdict = verdict("""
                1.700 take 1 begins
                1.700 cut wide
                7.400 cut wheel
                9.000 cut wide
                """);
        assertThat(verdict.report())
                .anyMatch(line -> line.matches(" +missing +7\\.400 +cut wheel +\\(line 9, it came at 7\\.500\\)"))
                .anyMatch(line -> line.matches(" +unexpected +7\\.500 +cut wheel"));
        assertThat(verdict.passed()).isEqualTo(3);
        assertThat(verdict.failed()).isEqualTo(2);
    }

    @Test
    void doesNotLetACutPassThatNobodyExpected() throws Exception {
        Verdict verdict = verdict("1.700 take 1\n1.700 cut wide\n7.500 cut wheel\n");
        assertThat(verdict.report()).last().asString().contains("unexpected", "9.000", "cut wide");
        assertThat(verdict.failed()).isEqualTo(1);
    }

    @Test
    void looksAtMessagesOnlyWhereOneIsExpected() throws Exception {
        assertThat(verdict("1.700 send roll\n").report())
                .noneMatch(line -> line.contains("say "))
                .anyMatch(line -> line.contains("ok") && line.contains("send roll"));
        assertThat(verdict("7.500 say mixer CUT 2\n").report())
                .anyMatch(line -> line.contains("unexpected") && line.contains("say mixer CUT 1"));
    }

    @Test
    void comparesTheOrderOfWhatComesAtOneInstant() throws Exception {
        assertThat(verdict("1.700 cut wide\n1.700 take 1\n7.500 cut wheel\n9 cut wide\n")
                        .failed())
                .isEqualTo(2);
    }

    @Test
    void takesAGestureByItsShortName() throws Exception {
        assertThat(verdict("7.500 gesture left.press\n").report())
                .anyMatch(line -> line.contains("ok") && line.contains("floor.left.press"));
    }

    @Test
    void tellsAtTheStartWhatIsDoneLater() throws Exception {
        assertThat(rehearsed(EDGES).stream().map(Line::told))
                .containsSubsequence(
                        "floor.right close",
                        "gesture floor.right.hold",
                        "transition standby -> rolling",
                        "take 1 begins",
                        "send roll",
                        "say recorder PUT /transport {\"mode\":\"record\",\"take\":\"1\"}",
                        "say lamp /lamp/rec 1 0.5 \"take 1\"",
                        "cut wide",
                        "say mixer CUT 1",
                        "gesture floor.left.press",
                        "cut wheel",
                        "return rolling",
                        "cut wide");
    }

    /** What a rehearsal prints can be pasted below {@code expect:}. */
    @Test
    void expectsItsOwnListing() throws Exception {
        StringBuilder listing = new StringBuilder();
        rehearsed(EDGES).stream()
                .filter(line -> !line.kind().word().isEmpty())
                .forEach(line -> listing.append(line).append('\n'));
        Verdict verdict = verdict(listing.toString());
        assertThat(verdict.failed()).isZero();
        assertThat(verdict.passed())
                .isEqualTo((int) listing.chars().filter(c -> c == '\n').count());
    }

    @Test
    void tellsGearThatComesBackWhatShouldBeOnAir() throws Exception {
        List<Line> lines = rehearsed(EDGES + "10 mixer lost\n11 mixer up\n");
        assertThat(lines).last().hasToString("    11.000  say        mixer CUT 1");
    }

    @Test
    void letsAPulledPedalGo() throws Exception {
        List<Line> lines = rehearsed("1 right close\n1.6 right open\n3 left close\n4 floor lost\n");
        assertThat(lines.stream().map(Line::told)).endsWith("say mixer CUT 1").contains("cut wide");
    }

    @ParameterizedTest
    @CsvSource(delimiter = '|', textBlock = """
            1.2 right shut                          | a.scenario:1: "shut" is neither close nor open
            1.2 rihgt close;expect:                 | a.scenario:1: the configuration has no contact "rihgt"; it has floor.left
            1 cut wheel                             | a.scenario:1: "wheel" is neither close nor open; what should happen comes below a line expect:
            2 right close;1 right open              | a.scenario:2: time goes back: 1.000 comes after 2.000
            1 camera lost;expect:                   | a.scenario:1: the configuration has no gear or pedal "camera"
            1 floor refused;expect:                 | a.scenario:1: the configuration has no gear "floor"
            expect:;1 cut wehel                     | a.scenario:2: "wehel" cannot come after cut; the configuration has wide, wheel
            expect:;1 send rol                      | a.scenario:2: "rol" cannot come after send; the configuration has roll, stop
            expect:;1 say mixr CUT 1                | a.scenario:2: "mixr" cannot come after say; the configuration has mixer
            expect:;1 gesture left.prss             | a.scenario:2: "left.prss" is no gesture of this configuration
            expect:;1 cuts wheel                    | a.scenario:2: "cuts" cannot be expected; expected cut, take
            expect:;1 cut                           | a.scenario:2: expected a time, a word and what
            expect:;soon cut wheel                  | a.scenario:2: "soon" is not a time
            1 right close                           | a.scenario: there is no line expect:
            """)
    void namesTheLineThatIsWrong(String text, String sentence) {
        assertThatThrownBy(() -> Verdict.of(Scenario.parse("a.scenario", text.replace(';', '\n')), settings))
                .isInstanceOf(PerformanceException.class)
                .hasMessageStartingWith(sentence);
    }
}
