package instep.input;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.stream.Collectors;
import org.jspecify.annotations.Nullable;

/**
 * Which device is meant; everything that is not null must hold.
 *
 * @param usb vendor and product in hex, {@code 1209:2303}, lower case
 * @param name the name that the device gives itself; {@code *} stands for any characters
 * @param phys where it is plugged in, as the kernel says
 * @param serial its serial number
 * @param path a device node, or a link to one
 * @param which counted from 1, of several that match, in the order of where they are plugged in
 */
public record DeviceMatch(
        @Nullable String usb,
        @Nullable String name,
        @Nullable String phys,
        @Nullable String serial,
        @Nullable String path,
        int which) {

    /** For a person: {@code usb 1209:2303, name *Pedal*}. */
    public String words() {
        List<String> words = new ArrayList<>();
        add(words, "usb", usb);
        add(words, "name", name);
        add(words, "phys", phys);
        add(words, "serial", serial);
        add(words, "path", path);
        if (which > 1) {
            words.add("which " + which);
        }
        return words.isEmpty() ? "any device" : String.join(", ", words);
    }

    /** The same, whichever of them is meant. */
    DeviceMatch alike() {
        return new DeviceMatch(usb, name, phys, serial, path, 1);
    }

    /** Whether every device that the other one matches is matched by this one, too, as far as their words tell. */
    public boolean covers(DeviceMatch other) {
        return which == other.which
                && isNoneOr(usb, other.usb)
                && isNoneOr(name, other.name)
                && isNoneOr(phys, other.phys)
                && isNoneOr(serial, other.serial)
                && isNoneOr(path, other.path);
    }

    private static boolean isNoneOr(@Nullable String value, @Nullable String other) {
        return value == null || value.equals(other);
    }

    /** All but {@code which}. */
    boolean matches(DeviceNode device) {
        return (usb == null || usb.equals(device.usb()))
                && (name == null || glob(name, device.name()))
                && (phys == null || phys.equals(device.phys()))
                && (serial == null || serial.equals(device.serial()))
                && (path == null || leadsTo(Path.of(path), device.node()));
    }

    private static void add(List<String> words, String key, @Nullable String value) {
        if (value != null) {
            words.add(key + " " + value);
        }
    }

    private static boolean glob(String pattern, String text) {
        String regex = Arrays.stream(pattern.split("\\*", -1))
                .map(part -> part.isEmpty() ? "" : "\\Q" + part.replace("\\E", "\\E\\\\E\\Q") + "\\E")
                .collect(Collectors.joining(".*", "(?s)", ""));
        return text.matches(regex);
    }

    private static boolean leadsTo(Path path, Path node) {
        try {
            return Files.isSameFile(path, node);
        } catch (IOException e) {
            return false; // one of them is not there
        }
    }
}
