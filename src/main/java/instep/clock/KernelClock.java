package instep.clock;

import com.sun.jna.Memory;
import com.sun.jna.Native;
import com.sun.jna.NativeLibrary;
import com.sun.jna.Pointer;

/** What the kernel knows of the system's clock: adjtimex(2), which is only asked here. */
public final class KernelClock {
    /** Whether something keeps the clock right. */
    public enum State {
        /** A program such as an NTP client says that it does. */
        SYNCHRONIZED,
        /** Nobody does. */
        UNSYNCHRONIZED,
        /** The kernel does not say, as where a sandbox forbids to ask. */
        UNKNOWN
    }

    /**
     * What it knows.
     *
     * @param maxErrorMicros by how much the clock can be wrong at most, as who keeps it has told the kernel, which adds 500 millionths of the time since; negative: nobody knows
     */
    public record Reading(State state, long maxErrorMicros) {
        /** Nothing. */
        static final Reading NONE = new Reading(State.UNKNOWN, -1);
    }

    /** Of struct timex with its room to spare, in linux/timex.h on 64 bits; {@code modes} comes first, and 0 changes nothing. */
    private static final int TIMEX_BYTES = 208;

    private static final int MAX_ERROR_AT = 24;
    private static final int STATUS_AT = 40;
    private static final int STA_UNSYNC = 0x40;

    private KernelClock() {}

    /** Asks; nothing is known wherever that is not possible. */
    public static Reading read() {
        try {
            Memory timex = new Memory(TIMEX_BYTES);
            timex.clear();
            int answer = Libc.adjtimex(timex);
            return answer < 0 ? Reading.NONE : of(timex.getInt(STATUS_AT), timex.getLong(MAX_ERROR_AT));
        } catch (LinkageError e) {
            return Reading.NONE;
        }
    }

    static Reading of(int status, long maxErrorMicros) {
        return (status & STA_UNSYNC) == 0
                ? new Reading(State.SYNCHRONIZED, maxErrorMicros)
                : new Reading(State.UNSYNCHRONIZED, -1);
    }

    private static final class Libc {
        static {
            // Else JNA starts "ldconfig -p" as a child to learn paths that nothing here needs.
            if (System.getProperty("jna.platform.library.path") == null) {
                System.setProperty("jna.platform.library.path", "");
            }
            Native.register(Libc.class, NativeLibrary.getProcess());
        }

        private Libc() {}

        static native int adjtimex(Pointer timex);
    }
}
