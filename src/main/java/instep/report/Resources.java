package instep.report;

import java.io.IOException;
import java.io.InputStream;
import java.nio.charset.StandardCharsets;

/** The parts of the page that are the same in every report. */
final class Resources {
    private Resources() {}

    static String text(String name) throws IOException {
        try (InputStream in = Resources.class.getResourceAsStream(name)) {
            if (in == null) {
                throw new IllegalStateException("the program lacks its part " + name);
            }
            return new String(in.readAllBytes(), StandardCharsets.UTF_8);
        }
    }
}
