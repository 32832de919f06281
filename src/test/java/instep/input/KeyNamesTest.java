package instep.input;

import static org.assertj.core.api.Assertions.assertThat;
import static org.junit.jupiter.api.Assumptions.assumeTrue;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.HashSet;
import java.util.LinkedHashMap;
import java.util.Map;
import java.util.Set;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

class KeyNamesTest {
    /** The kernel's own header, from Debian's linux-libc-dev. */
    private static final Path HEADER = Path.of("/usr/include/linux/input-event-codes.h");

    // linux/input-event-codes.h
    @ParameterizedTest
    @CsvSource({"KEY_A, 30", "KEY_B, 48", "KEY_C, 46", "KEY_F24, 194", "BTN_TRIGGER, 0x120", "BTN_SOUTH, 0x130"})
    void knowsTheCodeOfAName(String name, String code) {
        assertThat(KeyNames.code(name)).hasValue(Integer.decode(code));
        assertThat(KeyNames.name(Integer.decode(code))).isEqualTo(name);
    }

    @ParameterizedTest
    @CsvSource({"BTN_A, BTN_SOUTH", "BTN_MISC, BTN_0", "BTN_JOYSTICK, BTN_TRIGGER", "KEY_SCREENLOCK, KEY_COFFEE"})
    void prefersTheNameThatTheKernelDefinesTheOtherBy(String other, String preferred) {
        assertThat(KeyNames.name(KeyNames.code(other).orElseThrow())).isEqualTo(preferred);
    }

    @Test
    void hasNoCodeForWhatIsNoKey() {
        assertThat(KeyNames.code("KEY_PEDAL")).isEmpty();
        assertThat(KeyNames.code("key_a")).isEmpty();
        assertThat(KeyNames.code("KEY_MAX")).isEmpty();
        assertThat(KeyNames.name(0x2ff)).isEqualTo("key 767");
    }

    @Test
    void agreesWithTheHeaderOfThisMachine() throws IOException {
        assumeTrue(Files.exists(HEADER), "linux-libc-dev is not installed: " + HEADER);
        Map<String, Integer> header = header();
        for (String name : KeyNames.names()) {
            assertThat(header).containsEntry(name, KeyNames.code(name).orElseThrow());
        }
        // A newer kernel's header knows a few more keys; the numbers of a name never change.
        Set<String> more = new HashSet<>(header.keySet());
        more.removeAll(KeyNames.names());
        assertThat(more).hasSizeLessThan(60);
    }

    private static Map<String, Integer> header() throws IOException {
        Pattern define = Pattern.compile("#define\\s+((?:KEY|BTN)_\\w+)\\s+(\\w+)(?:\\s.*)?");
        Map<String, Integer> codes = new LinkedHashMap<>();
        for (String line : Files.readAllLines(HEADER)) {
            Matcher matcher = define.matcher(line);
            if (matcher.matches() && !Set.of("KEY_MAX", "KEY_MIN_INTERESTING").contains(matcher.group(1))) {
                String value = matcher.group(2);
                Integer other = codes.get(value);
                codes.put(matcher.group(1), other == null ? Integer.decode(value) : other);
            }
        }
        return codes;
    }
}
