package instep.machine;

import org.jspecify.annotations.Nullable;

/** Named values, as templates and conditions see them. */
@FunctionalInterface
public interface Values {
    /** The value: a {@code Long}, {@code Boolean} or {@code String}; {@code null} if there is none of that name. */
    @Nullable Object value(String name);
}
