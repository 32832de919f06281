package instep.daemon;

import instep.clock.Boot;
import instep.clock.KernelClock;
import instep.clock.WallClock;
import java.time.ZoneId;
import java.util.function.Supplier;
import org.jspecify.annotations.Nullable;

/** The clock of this machine. It is held while a take is open, whatever happens to it, and looked at anew when the next one begins. Loop thread only, but for {@link #at}. */
final class SystemTime implements WallTime {
    /** Less than that is how exactly two clocks can be read one after the other. */
    private static final long NOISE_NANOS = 1_000_000L;

    private final WallClock wall;
    private final Supplier<KernelClock.Reading> kernel;
    private final @Nullable String boot = Boot.id();
    private KernelClock.Reading reading;

    SystemTime() {
        this(WallClock.ofSystem(), KernelClock::read);
    }

    /** {@code kernel} is asked now and for each take; it answers at once. */
    SystemTime(WallClock wall, Supplier<KernelClock.Reading> kernel) {
        this.wall = wall;
        this.kernel = kernel;
        reading = kernel.get();
    }

    @Override
    public long at(long nanos) {
        return wall.wallAt(nanos);
    }

    @Override
    public ZoneId zone() {
        return ZoneId.systemDefault();
    }

    @Override
    public long setSince(long nanos) {
        reading = kernel.get();
        return wall.measure(nanos, NOISE_NANOS);
    }

    @Override
    public @Nullable String boot() {
        return boot;
    }

    @Override
    public @Nullable String state() {
        return switch (reading.state()) {
            case SYNCHRONIZED -> "synchronized";
            case UNSYNCHRONIZED -> "unsynchronized";
            case UNKNOWN -> null;
        };
    }

    @Override
    public long uncertaintyMicros() {
        return reading.maxErrorMicros();
    }
}
