package instep.gear;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import instep.machine.Template;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.MethodSource;
import org.junit.jupiter.params.provider.ValueSource;

class UriTemplateTest {
    private static final Path TABLE = Path.of("src/test/resources/standards/rfc6570.txt");

    private static List<String[]> rows(boolean variables) throws IOException {
        return Files.readAllLines(TABLE).stream()
                .filter(line -> !line.startsWith("#") && line.startsWith("= ") == variables)
                .map(line -> (variables ? line.substring(2) : line).split("\t", -1))
                .toList();
    }

    static List<String[]> examples() throws IOException {
        return rows(false);
    }

    @ParameterizedTest
    @MethodSource("examples")
    void expandsAsTheExamplesOfTheStandardDo(String template, String expected) throws IOException {
        Map<String, String> variables = new HashMap<>();
        rows(true).forEach(row -> variables.put(row[0], row[1]));

        assertThat(UriTemplate.parse(template).expand(variables::get)).isEqualTo(expected);
    }

    /** RFC 6570, section 2.4: modifiers are of level 4; section 2.2: the operators that are kept for later. */
    @ParameterizedTest
    @ValueSource(strings = {"/{x:3}", "/{x*}", "/{=x}", "/{|x}", "/{x", "/x}", "/{}", "/{?}", "/{x,}", "/{a b}"})
    void refusesWhatItCannotExpand(String template) {
        assertThatThrownBy(() -> UriTemplate.parse(template)).isInstanceOf(IllegalArgumentException.class);
    }

    /** RFC 3986, section 2: what a value holds never becomes a delimiter of the query. */
    @Test
    void addsToTheQueryWhatIsPercentEncoded() {
        UriTemplate target = UriTemplate.parse("/takes")
                .with("a name", Template.parse("take {take}"))
                .with("on", Template.parse("1&2"));

        assertThat(target.expand(Say.with("take", "7&x=é")))
                .isEqualTo("/takes?a%20name=take%207%26x%3D%C3%A9&on=1%262");
        assertThat(UriTemplate.parse("/a?b=1").with("c", Template.parse("2")).expand(Say.NOTHING))
                .isEqualTo("/a?b=1&c=2");
        assertThat(target.names()).containsExactly("take");
    }
}
