package instep.config;

import instep.input.CodeNames;
import java.util.List;
import java.util.OptionalInt;

/** The names in the kernel's own header. */
final class KernelKeyCodes implements KeyCodes {
    @Override
    public OptionalInt code(String name) {
        return CodeNames.KEYS.code(name);
    }

    @Override
    public List<String> names() {
        return List.copyOf(CodeNames.KEYS.names());
    }
}
