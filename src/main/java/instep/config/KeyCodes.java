package instep.config;

import java.util.List;
import java.util.OptionalInt;

/** The kernel's numbers of keys and buttons by name, such as 30 for {@code KEY_A}. */
@FunctionalInterface
public interface KeyCodes {
    /** The number; empty if no key or button has that name. */
    OptionalInt code(String name);

    /** All names, for suggestions; empty: none are suggested. */
    default List<String> names() {
        return List.of();
    }
}
