package instep.input;

import java.io.BufferedReader;
import java.io.IOException;
import java.io.InputStream;
import java.io.InputStreamReader;
import java.io.UncheckedIOException;
import java.nio.charset.StandardCharsets;
import java.util.Collections;
import java.util.LinkedHashMap;
import java.util.Map;
import java.util.OptionalInt;
import java.util.Set;

/** The kernel's names of one kind of thing that a device can send, and their codes. */
public final class CodeNames {
    /** Keys and buttons, {@code KEY_A} or {@code BTN_TRIGGER}. */
    public static final CodeNames KEYS = new CodeNames("key");

    /** Absolute axes, {@code ABS_Z} or {@code ABS_HAT0X}. */
    public static final CodeNames AXES = new CodeNames("axis");

    /** Relative axes, {@code REL_WHEEL}. */
    public static final CodeNames WHEELS = new CodeNames("wheel");

    private final String word;
    private final Map<String, Integer> codes = new LinkedHashMap<>();
    private final Map<Integer, String> names = new LinkedHashMap<>();

    private CodeNames(String word) {
        this.word = word;
        load(word + "-names.txt");
    }

    /** The code of a name in upper case; empty if the kernel has no such name. */
    public OptionalInt code(String name) {
        Integer code = codes.get(name);
        return code == null ? OptionalInt.empty() : OptionalInt.of(code);
    }

    /** The preferred name of a code, or {@code key 700} for one without a name. */
    public String name(int code) {
        String name = names.get(code);
        return name == null ? word + " " + code : name;
    }

    /** All names, in the order of the codes. */
    public Set<String> names() {
        return Collections.unmodifiableSet(codes.keySet());
    }

    private void load(String table) {
        try (InputStream in = CodeNames.class.getResourceAsStream(table)) {
            if (in == null) {
                throw new IllegalStateException(table + " is missing from the program");
            }
            new BufferedReader(new InputStreamReader(in, StandardCharsets.US_ASCII))
                    .lines()
                    .filter(line -> !line.startsWith("#"))
                    .forEach(this::row);
        } catch (IOException e) {
            throw new UncheckedIOException(e);
        }
    }

    private void row(String line) {
        String[] words = line.split(" ");
        int code = Integer.parseInt(words[0]);
        names.put(code, words[1]);
        for (int i = 1; i < words.length; i++) {
            codes.put(words[i], code);
        }
    }
}
