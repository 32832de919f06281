package instep.gear;

import java.nio.file.Path;
import java.util.Optional;
import org.hid4java.HidDevice;
import org.hid4java.HidException;
import org.hid4java.HidServices;
import org.hid4java.HidServicesSpecification;
import org.hid4java.ScanMode;
import org.jspecify.annotations.Nullable;

/** Devices that hid4java opens for output, started without its threads: no scanning, no reading, no shutdown hook. Slow, and not for the loop. */
final class Hid4JavaDevices {
    private static @Nullable HidServices services;

    private Hid4JavaDevices() {}

    /** The open device of a raw node; empty if hid4java cannot be loaded, does not list it or cannot open it. */
    @SuppressWarnings("LockOnNonEnclosingClassLiteral") // input lists devices with it, and neither knows the other
    static Optional<HidDevice> open(Path node) {
        // Its native part keeps what went wrong last in one place for all threads, also for those that only list
        // devices.
        synchronized (HidServices.class) {
            try {
                if (services == null) {
                    HidServicesSpecification quiet = new HidServicesSpecification();
                    quiet.setAutoStart(false);
                    quiet.setScanMode(ScanMode.NO_SCAN);
                    quiet.setAutoShutdown(false);
                    services = new HidServices(quiet);
                }
                return services.getAttachedHidDevices().stream()
                        .filter(device -> node.toString().equals(device.getPath()))
                        .findFirst()
                        .filter(HidDevice::open);
            } catch (HidException | LinkageError e) {
                return Optional.empty();
            }
        }
    }

    /** Gives it back; nothing may be writing to it. */
    @SuppressWarnings("LockOnNonEnclosingClassLiteral")
    static void close(HidDevice device) {
        synchronized (HidServices.class) {
            device.close();
        }
    }
}
