package instep.config;

import instep.input.KeyNames;
import java.util.List;
import java.util.OptionalInt;

/** The names in the kernel's own header. */
final class KernelKeyCodes implements KeyCodes {
    @Override
    public OptionalInt code(String name) {
        return KeyNames.code(name);
    }

    @Override
    public List<String> names() {
        return List.copyOf(KeyNames.names());
    }
}
