package instep.input;

import static org.assertj.core.api.Assertions.assertThat;

import com.sun.jna.Function;
import com.sun.jna.NativeLibrary;
import instep.reference.Installed;
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

class CodeNamesTest {
    /** The kernel's own header, from Debian's linux-libc-dev. */
    private static final Path HEADER = Path.of("/usr/include/linux/input-event-codes.h");

    // linux/input-event-codes.h
    @ParameterizedTest
    @CsvSource({
        "KEYS, KEY_A, 30",
        "KEYS, KEY_B, 48",
        "KEYS, KEY_C, 46",
        "KEYS, KEY_F24, 194",
        "KEYS, BTN_TRIGGER, 0x120",
        "KEYS, BTN_SOUTH, 0x130",
        "AXES, ABS_X, 0",
        "AXES, ABS_Z, 2",
        "AXES, ABS_HAT0X, 0x10",
        "AXES, ABS_MISC, 0x28",
        "WHEELS, REL_DIAL, 7",
        "WHEELS, REL_WHEEL, 8"
    })
    void knowsTheCodeOfAName(String kind, String name, String code) {
        CodeNames names = names(kind);
        assertThat(names.code(name)).hasValue(Integer.decode(code));
        assertThat(names.name(Integer.decode(code))).isEqualTo(name);
    }

    @ParameterizedTest
    @CsvSource({"BTN_A, BTN_SOUTH", "BTN_MISC, BTN_0", "BTN_JOYSTICK, BTN_TRIGGER", "KEY_SCREENLOCK, KEY_COFFEE"})
    void prefersTheNameThatTheKernelDefinesTheOtherBy(String other, String preferred) {
        assertThat(CodeNames.KEYS.name(CodeNames.KEYS.code(other).orElseThrow()))
                .isEqualTo(preferred);
    }

    @Test
    void hasNoCodeForWhatIsNoKey() {
        assertThat(CodeNames.KEYS.code("KEY_PEDAL")).isEmpty();
        assertThat(CodeNames.KEYS.code("key_a")).isEmpty();
        assertThat(CodeNames.KEYS.code("KEY_MAX")).isEmpty();
        assertThat(CodeNames.KEYS.name(0x2ff)).isEqualTo("key 767");
        assertThat(CodeNames.AXES.code("ABS_MAX")).isEmpty();
        assertThat(CodeNames.AXES.code("REL_X")).isEmpty();
        assertThat(CodeNames.AXES.name(0x3f)).isEqualTo("axis 63");
        assertThat(CodeNames.WHEELS.code("REL_CNT")).isEmpty();
    }

    // libevdev (Debian: libevdev2), which has a table of its own, made from the same header. Types: EV_KEY 1, EV_REL 2,
    // EV_ABS 3; bounds: KEY_MAX, ABS_MAX, REL_MAX.
    @ParameterizedTest
    @CsvSource({"KEYS, 1, 0x2ff", "AXES, 3, 0x3f", "WHEELS, 2, 0x0f"})
    void agreesWithLibevdev(String kind, int type, String last) {
        CodeNames names = names(kind);
        NativeLibrary libevdev = libevdev();
        Function codeOf = libevdev.getFunction("libevdev_event_code_from_name");
        Function nameOf = libevdev.getFunction("libevdev_event_code_get_name");
        for (String name : names.names()) {
            int code = names.code(name).orElseThrow();
            assertThat(codeOf.invokeInt(new Object[] {type, name})).as(name).isIn(code, -1);
        }
        int named = 0;
        for (int code = 0; code < Integer.decode(last); code++) {
            Object name = nameOf.invoke(String.class, new Object[] {type, code});
            if (name != null) {
                named++;
                assertThat(names.name(code)).isEqualTo(name);
            }
        }
        assertThat(named).isGreaterThan(10);
    }

    private static CodeNames names(String kind) {
        return switch (kind) {
            case "KEYS" -> CodeNames.KEYS;
            case "AXES" -> CodeNames.AXES;
            default -> CodeNames.WHEELS;
        };
    }

    private static NativeLibrary libevdev() {
        try {
            return NativeLibrary.getInstance("libevdev.so.2");
        } catch (UnsatisfiedLinkError e) {
            Installed.missing("libevdev.so.2", "libevdev2");
            throw e;
        }
    }

    @Test
    void agreesWithTheHeaderOfThisMachine() throws IOException {
        Installed.file(HEADER.toString(), "linux-libc-dev");
        Map<String, Integer> header = header();
        for (String name : CodeNames.KEYS.names()) {
            assertThat(header).containsEntry(name, CodeNames.KEYS.code(name).orElseThrow());
        }
        // A newer kernel's header knows a few more keys; the numbers of a name never change.
        Set<String> more = new HashSet<>(header.keySet());
        more.removeAll(CodeNames.KEYS.names());
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
