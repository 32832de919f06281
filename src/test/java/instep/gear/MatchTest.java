package instep.gear;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import instep.machine.Values;
import java.util.Map;
import java.util.Optional;
import java.util.regex.Pattern;
import org.jspecify.annotations.Nullable;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

class MatchTest {
    /** RFC 6901, section 5: the document. */
    private static final String DOCUMENT = """
            { "foo": ["bar", "baz"], "": 0, "a/b": 1, "c%d": 2, "e^f": 3, "g|h": 4, "i\\\\j": 5, "k\\"l": 6, " ": 7, "m~n": 8 }""";

    /** RFC 6901, section 5: the table, but for the whole document. */
    private static final Map<String, String> TABLE = Map.ofEntries(
            Map.entry("/foo", "[\"bar\",\"baz\"]"),
            Map.entry("/foo/0", "bar"),
            Map.entry("/", "0"),
            Map.entry("/a~1b", "1"),
            Map.entry("/c%d", "2"),
            Map.entry("/e^f", "3"),
            Map.entry("/g|h", "4"),
            Map.entry("/i\\j", "5"),
            Map.entry("/k\"l", "6"),
            Map.entry("/ ", "7"),
            Map.entry("/m~0n", "8"));

    private static Optional<String> at(String pointer, @Nullable String wanted, String json) {
        return new Match.Pointer(JsonPointer.parse(pointer).orElseThrow(), wanted)
                .in(new Reply(json))
                .map(values -> String.valueOf(values.value("value")));
    }

    private static Optional<Values> line(String regex, String text) {
        return new Match.Line(Pattern.compile(regex)).in(new Reply(text));
    }

    @Test
    void findsWhereTheStandardPoints() {
        TABLE.forEach((pointer, value) ->
                assertThat(at(pointer, null, DOCUMENT)).as(pointer).contains(value));
        assertThat(at("", null, DOCUMENT).orElseThrow()).startsWith("{\"foo\":[\"bar\",\"baz\"],");
    }

    /** RFC 6901, sections 3 and 4: no tilde but before 0 and 1, no leading slash missing, no leading zeros, - is after the end. */
    @Test
    void findsNothingWhereThereIsNothing() {
        assertThat(JsonPointer.parse("foo")).isEmpty();
        assertThat(JsonPointer.parse("/a~2")).isEmpty();
        assertThat(JsonPointer.parse("/a~")).isEmpty();
        for (String pointer : new String[] {"/foo/2", "/foo/-", "/foo/00", "/foo/01", "/foo/0/x", "/bar"}) {
            assertThat(at(pointer, null, DOCUMENT)).as(pointer).isEmpty();
        }
    }

    /** RFC 6902, section 4.6: numbers are equal if they are numerically. */
    @Test
    void comparesValues() {
        String json = "{\"mode\":\"record\",\"take\":3.0,\"on\":true,\"reel\":null}";
        assertThat(at("/mode", "record", json)).contains("record");
        assertThat(at("/mode", "stop", json)).isEmpty();
        assertThat(at("/take", "3", json)).contains("3.0");
        assertThat(at("/on", "true", json)).contains("true");
        assertThat(at("/reel", "null", json)).contains("null");
    }

    @ParameterizedTest
    @ValueSource(strings = {"", "ONAIR 2", "{", "{\"mode\":", "[1,]", "{\"mode\":\"record\"", "\"record\""})
    void takesNothingFromWhatIsNoJson(String text) {
        assertThat(at("/mode", null, text)).isEmpty();
    }

    @Test
    void givesTheNamedGroups() {
        Values values = line("^ONAIR (?<angle>\\w+)( (?<as>.*))?$", "ONAIR 2").orElseThrow();
        assertThat(values.value("angle")).isEqualTo("2");
        assertThat(values.value("as")).isNull();
        assertThat(new Match.Line(Pattern.compile("(?<a>x)(?<=y)(?<!z)\\(?<b>(?<c1>z)")).names())
                .containsExactly("a", "c1");
    }

    @Test
    void looksAtNoLineOfMoreThan1024Characters() {
        assertThat(line("x$", "x".repeat(1_024))).isPresent();
        assertThat(line("x$", "x".repeat(1_025))).isEmpty();
    }

    /**
     * Each takes more than 2^25 steps to say no, as nested quantifiers do when they backtrack (OWASP, "Regular expression Denial of Service"). For the simplest
     * of them Java remembers where it has been; for these it does not.
     */
    @ParameterizedTest
    @ValueSource(strings = {"^(a+)+\\1$", "^(?:a|aa)+?$", "^(a+?)+?$", "(.*a){12}$"})
    void givesUpAnExpressionThatGoesBackAndForth(String regex) {
        assertThatThrownBy(() -> line(regex, "a".repeat(60) + "!"))
                .isInstanceOf(Match.TooLongException.class)
                .hasMessageContaining(regex);
    }

    @Test
    void hasReadsEnoughForASoundExpressionOnTheLongestLine() {
        assertThat(line("^(\\w+ )*(?<last>\\w+)$", "word ".repeat(204) + "last"))
                .isPresent();
        assertThat(line("(?<n>\\d+)$", "x".repeat(1_023) + "7")).isPresent();
    }

    @Test
    void takesAnOscMessageByItsAddress() {
        Match match = new Match.Address("/lamp/ok");
        assertThat(match.in(new Reply("/lamp/ok"))).isPresent();
        assertThat(match.in(new Reply("/lamp/ok 1 \"x\""))).isPresent();
        assertThat(match.in(new Reply("/lamp/okay 1"))).isEmpty();
    }
}
