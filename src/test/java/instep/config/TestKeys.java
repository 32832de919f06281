package instep.config;

import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.OptionalInt;

/** Some keys with their numbers in the kernel's include/uapi/linux/input-event-codes.h. */
final class TestKeys implements KeyCodes {
    static final KeyCodes CODES = new TestKeys();

    private final Map<String, Integer> codes = new LinkedHashMap<>();

    private TestKeys() {
        codes.put("KEY_1", 2);
        codes.put("KEY_A", 30);
        codes.put("KEY_C", 46);
        codes.put("KEY_B", 48);
        codes.put("BTN_0", 0x100);
    }

    @Override
    public OptionalInt code(String name) {
        Integer code = codes.get(name);
        return code == null ? OptionalInt.empty() : OptionalInt.of(code);
    }

    @Override
    public List<String> names() {
        return List.copyOf(codes.keySet());
    }
}
