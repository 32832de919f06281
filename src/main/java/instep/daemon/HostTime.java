package instep.daemon;

import instep.clock.Boot;
import java.time.Instant;
import org.jspecify.annotations.Nullable;

/**
 * An instant on this computer.
 *
 * @param wall what its clock shows, whoever has set it
 * @param mono the same in monotonic nanoseconds, which count on from program to program
 * @param boot until it is booted again, and has another name; null: nobody knows
 */
public record HostTime(Instant wall, long mono, @Nullable String boot) {
    /** Now, by the system's clock. */
    public static HostTime now() {
        return new HostTime(Instant.now(), System.nanoTime(), Boot.id());
    }
}
