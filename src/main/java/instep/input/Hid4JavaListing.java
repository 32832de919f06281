package instep.input;

import java.util.ArrayList;
import java.util.HashSet;
import java.util.List;
import java.util.Locale;
import java.util.Objects;
import java.util.Set;
import java.util.stream.Collectors;
import java.util.stream.Stream;
import org.hid4java.HidDevice;
import org.hid4java.HidException;
import org.hid4java.HidServices;
import org.hid4java.HidServicesSpecification;
import org.hid4java.ScanMode;
import org.jspecify.annotations.Nullable;

/** The listing of hid4java, which is started without its threads: no scanning, no reading, no shutdown hook. */
final class Hid4JavaListing implements HidListing {
    private @Nullable HidServices services;

    @Override
    @SuppressWarnings("LockOnNonEnclosingClassLiteral") // gear opens lamps with it, and neither knows the other
    public List<Listed> list() throws Unavailable {
        // Its native part keeps what went wrong last in one place for all threads, also for those that open lamps.
        synchronized (HidServices.class) {
            return listed();
        }
    }

    private List<Listed> listed() throws Unavailable {
        List<Listed> listed = new ArrayList<>();
        Set<String> paths = new HashSet<>(); // a device is listed once for each collection of its reports
        for (HidDevice device : devices()) {
            String path = Objects.requireNonNullElse(device.getPath(), "");
            if (paths.add(path)) {
                listed.add(new Listed(path, usb(device), said(device.getSerialNumber()), name(device)));
            }
        }
        return listed;
    }

    private List<HidDevice> devices() throws Unavailable {
        try {
            if (services == null) {
                HidServicesSpecification quiet = new HidServicesSpecification();
                quiet.setAutoStart(false);
                quiet.setScanMode(ScanMode.NO_SCAN);
                quiet.setAutoShutdown(false);
                services = new HidServices(quiet);
            }
            return services.getAttachedHidDevices();
        } catch (HidException | LinkageError e) {
            throw new Unavailable("hid4java cannot be loaded: " + firstLine(e), e);
        }
    }

    private static String usb(HidDevice device) {
        return String.format(Locale.ROOT, "%04x:%04x", device.getVendorId() & 0xffff, device.getProductId() & 0xffff);
    }

    private static String name(HidDevice device) {
        return Stream.of(said(device.getManufacturer()), said(device.getProduct()))
                .filter(word -> !word.isEmpty())
                .collect(Collectors.joining(" "));
    }

    private static String said(@Nullable String text) {
        return text == null ? "" : text.strip();
    }

    private static String firstLine(Throwable e) {
        return String.valueOf(e.getMessage()).lines().findFirst().orElse(e.toString());
    }
}
