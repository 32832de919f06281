package instep.clock;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import org.jspecify.annotations.Nullable;

/** Since when this computer runs: the monotonic time goes on from one program to the next until it is booted again. */
public final class Boot {
    /** random(4): drawn once at each boot. */
    private static final Path ID = Path.of("/proc/sys/kernel/random/boot_id");

    private Boot() {}

    /** The name that the kernel has given to this boot; null where there is none. Reads a file. */
    public static @Nullable String id() {
        try {
            return Files.readString(ID).strip();
        } catch (IOException e) {
            return null;
        }
    }
}
