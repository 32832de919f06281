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

/** The kernel's names of keys and buttons, {@code KEY_A} or {@code BTN_TRIGGER}, and their codes. */
public final class KeyNames {
    private static final String TABLE = "key-names.txt";
    private static final Map<String, Integer> CODES = new LinkedHashMap<>();
    private static final Map<Integer, String> NAMES = new LinkedHashMap<>();

    static {
        load();
    }

    private KeyNames() {}

    /** The code of a name in upper case; empty if the kernel has no such name. */
    public static OptionalInt code(String name) {
        Integer code = CODES.get(name);
        return code == null ? OptionalInt.empty() : OptionalInt.of(code);
    }

    /** The preferred name of a code, or {@code key 700} for one without a name. */
    public static String name(int code) {
        String name = NAMES.get(code);
        return name == null ? "key " + code : name;
    }

    /** All names, in the order of the codes. */
    public static Set<String> names() {
        return Collections.unmodifiableSet(CODES.keySet());
    }

    private static void load() {
        try (InputStream in = KeyNames.class.getResourceAsStream(TABLE)) {
            if (in == null) {
                throw new IllegalStateException(TABLE + " is missing from the program");
            }
            new BufferedReader(new InputStreamReader(in, StandardCharsets.US_ASCII))
                    .lines()
                    .filter(line -> !line.startsWith("#"))
                    .forEach(KeyNames::row);
        } catch (IOException e) {
            throw new UncheckedIOException(e);
        }
    }

    private static void row(String line) {
        String[] words = line.split(" ");
        int code = Integer.parseInt(words[0]);
        NAMES.put(code, words[1]);
        for (int i = 1; i < words.length; i++) {
            CODES.put(words[i], code);
        }
    }
}
