package instep.config;

import static org.assertj.core.api.Assertions.assertThat;

import instep.machine.Place;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Collections;
import java.util.List;
import net.jqwik.api.Arbitraries;
import net.jqwik.api.Arbitrary;
import net.jqwik.api.Combinators;
import net.jqwik.api.ForAll;
import net.jqwik.api.From;
import net.jqwik.api.Property;
import net.jqwik.api.Provide;
import net.jqwik.api.constraints.Size;

/** What a slip of the editor does to a good file: it is read, or refused with places that lie in it; nothing else comes of it. */
class MutationsTest {
    private static final String CHARACTERS = " \t\n:{}[],\"'#&*!|>%@`-?~0aA.\\\u00e9\u0000\u001b";
    private static final List<String> ORIGINALS = originals();

    /** A change at a place that is a share of the whole, so that it fits texts of any length. */
    record Change(Kind kind, int share, int other) {
        enum Kind {
            DROP_LINE,
            DOUBLE_LINE,
            SWAP_LINES,
            DROP_CHARACTER,
            DOUBLE_CHARACTER,
            REPLACE_CHARACTER,
            CUT_OFF
        }

        String applyTo(String text) {
            List<String> lines = new ArrayList<>(List.of(text.split("\n", -1)));
            int line = share % lines.size();
            int at = text.isEmpty() ? 0 : share % text.length();
            String before = text.substring(0, at);
            String after = text.isEmpty() ? "" : text.substring(at + 1);
            String character = text.isEmpty() ? "" : text.substring(at, at + 1);
            return switch (kind) {
                case DROP_LINE -> {
                    lines.remove(line);
                    yield String.join("\n", lines);
                }
                case DOUBLE_LINE -> {
                    lines.add(line, lines.get(line));
                    yield String.join("\n", lines);
                }
                case SWAP_LINES -> {
                    Collections.swap(lines, line, other % lines.size());
                    yield String.join("\n", lines);
                }
                case DROP_CHARACTER -> before + after;
                case DOUBLE_CHARACTER -> before + character + character + after;
                case REPLACE_CHARACTER -> before + CHARACTERS.charAt(other % CHARACTERS.length()) + after;
                case CUT_OFF -> before;
            };
        }
    }

    @Provide
    Arbitrary<Change> change() {
        return Combinators.combine(
                        Arbitraries.of(Change.Kind.values()),
                        Arbitraries.integers().between(0, 100_000),
                        Arbitraries.integers().between(0, 100_000))
                .as(Change::new);
    }

    @Property(tries = 600)
    void aSlipIsReadOrRefusedWithPlacesInTheFile(
            @ForAll boolean first, @ForAll @Size(min = 1, max = 3) List<@From("change") Change> changes) {
        String text = ORIGINALS.get(first ? 0 : 1);
        for (Change change : changes) {
            text = change.applyTo(text);
        }
        try {
            ConfigReader.parse("f", text, TestKeys.CODES);
        } catch (ConfigException refusal) {
            assertThat(refusal.faults()).isNotEmpty();
            String[] lines = text.split("\r\n|[\n\r\u0085\u2028\u2029]", -1);
            for (ConfigException.Fault fault : refusal.faults()) {
                Place place = fault.place();
                assertThat(place.line()).isBetween(1, lines.length);
                assertThat(place.column()).isBetween(1, lines[place.line() - 1].length() + 1);
                assertThat(fault.text()).doesNotContain("\n", "\u001b", "Exception", "snakeyaml");
            }
        }
    }

    private static List<String> originals() {
        try {
            return List.of(
                    Files.readString(Path.of("config-examples/pottery.yaml")),
                    Files.readString(Path.of("src/test/resources/config/good/everything.yaml")));
        } catch (IOException e) {
            throw new IllegalStateException(e);
        }
    }
}
