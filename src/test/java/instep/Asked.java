package instep;

import instep.config.Settings;
import java.util.List;

/** What {@code check} asks of a configuration, for the tests of other packages. */
public final class Asked {
    private Asked() {}

    /** A sentence for each question. */
    public static List<String> of(Settings settings) {
        return CheckAdvice.of(settings);
    }
}
