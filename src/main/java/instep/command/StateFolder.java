package instep.command;

import java.nio.file.Path;
import java.util.Map;
import org.jspecify.annotations.Nullable;

/** Where the journal and the event log are kept when nobody says where. */
final class StateFolder {
    private StateFolder() {}

    /** What was asked for, else what the configuration says, else the service's own folder, else the user's. */
    static Path of(@Nullable Path asked, @Nullable Path configured) {
        if (asked != null) {
            return asked;
        }
        return configured != null ? configured : byEnvironment(System.getenv(), System.getProperty("user.home"));
    }

    /** systemd's {@code STATE_DIRECTORY}, else the XDG Base Directory Specification's state folder. */
    static Path byEnvironment(Map<String, String> environment, String home) {
        String service = environment.getOrDefault("STATE_DIRECTORY", "");
        if (!service.isEmpty()) {
            return Path.of(service.split(":")[0]);
        }
        String xdg = environment.getOrDefault("XDG_STATE_HOME", "");
        Path base = xdg.isEmpty() ? Path.of(home, ".local", "state") : Path.of(xdg);
        return base.resolve("instep");
    }
}
