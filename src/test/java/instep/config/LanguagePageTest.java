package instep.config;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import java.util.stream.Stream;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.MethodSource;

/** The pages and the reader say the same. A block that begins with {@code # fragment} is merged into a small file of its own. */
class LanguagePageTest {
    private static final Path LANGUAGE = Path.of("docs/language.md");
    private static final Pattern BLOCK = Pattern.compile("```yaml\n(.*?)```", Pattern.DOTALL);
    private static final String FRAGMENT = "# fragment";
    private static final String OVERLAY = "# overlay";

    private static List<String> blocks(Path page) throws IOException {
        List<String> blocks = new ArrayList<>();
        Matcher block = BLOCK.matcher(Files.readString(page));
        while (block.find()) {
            blocks.add(block.group(1));
        }
        return blocks;
    }

    private static List<String> blocks() throws IOException {
        List<Path> pages;
        try (Stream<Path> files = Files.list(LANGUAGE.getParent())) {
            pages = files.filter(file -> file.toString().endsWith(".md"))
                    .sorted()
                    .toList();
        }
        List<String> blocks = new ArrayList<>();
        for (Path page : pages) {
            blocks.addAll(blocks(page));
        }
        return blocks;
    }

    static List<String> complete() throws IOException {
        return complete(blocks());
    }

    private static List<String> complete(List<String> blocks) {
        return blocks.stream()
                .filter(b -> !b.startsWith(FRAGMENT) && !b.startsWith(OVERLAY) && !b.startsWith("media:"))
                .toList();
    }

    static List<String> fragments() throws IOException {
        return blocks().stream().filter(b -> b.startsWith(FRAGMENT)).toList();
    }

    @ParameterizedTest
    @MethodSource("complete")
    void readsEveryCompleteExample(String block) throws ConfigException {
        assertThat(ConfigReader.parse("docs/language.md", block, TestKeys.CODES).chart())
                .isNotNull();
    }

    @ParameterizedTest
    @MethodSource("fragments")
    void readsEveryFragmentInTheFileThatItCompletes(String block) throws ConfigException {
        StringBuilder text = new StringBuilder(block);
        for (String section : List.of(
                "instep: 1",
                "timecode: { rate: 25 }",
                "gear: { mixer: { tcp: 192.0.2.10:9701 }, recorder: { http: \"http://192.0.2.11:9702\" }, lamp: { osc: udp"
                        + " 192.0.2.12:9703 } }",
                "angles: { wide: { reel: WIDE }, wheel: { reel: WHEEL }, hands: { reel: HANDS }, glaze: { reel: GLAZE } }",
                "messages: { roll: { mixer: ROLL }, stop: { mixer: STOP }, alarm: { mixer: ALARM } }",
                "pedals: { floor: { match: { usb: \"1209:2303\" }, contacts: { left: KEY_A, middle: KEY_B, right: KEY_C } } }",
                "machine: { states: { standby: , rolling: } }")) {
            if (!Pattern.compile("^" + section.substring(0, section.indexOf(':') + 1), Pattern.MULTILINE)
                    .matcher(block)
                    .find()) {
                text.append(section).append('\n');
            }
        }
        assertThat(ConfigReader.parse("docs/language.md", text.toString(), TestKeys.CODES)
                        .chart())
                .isNotNull();
    }

    @Test
    void laysTheExampleOfAnOverlayOverAFileWhoseLampIsNotUsed() throws IOException, ConfigException {
        String base =
                complete(blocks(LANGUAGE)).get(0).replace("gear:\n", "gear:\n  lamp: { osc: udp 192.0.2.12:9703 }\n");
        String over = blocks().stream()
                .filter(block -> block.startsWith(OVERLAY))
                .findFirst()
                .orElseThrow();
        Settings settings = ConfigReader.parse(
                "both", "--- # file: mapping.yaml\n" + base + "--- # file: studio.yaml\n" + over, TestKeys.CODES);
        assertThat(settings.gear()).extracting(gear -> gear.address()).containsExactly("tcp 192.0.2.20:9701");
    }
}
