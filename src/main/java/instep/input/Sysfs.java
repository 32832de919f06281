package instep.input;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.DirectoryStream;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.Properties;

/**
 * Which event and raw nodes there are, from the kernel's sysfs; needs no permission on the nodes.
 *
 * @param sys where sysfs is mounted
 * @param dev where the nodes are
 */
record Sysfs(Path sys, Path dev) {
    static final String EVENT = "event[0-9]+";
    static final String RAW = "hidraw[0-9]+";

    static final String MIDI = "midiC[0-9]+D[0-9]+";

    Path input() {
        return dev.resolve("input");
    }

    private Path eventClass() {
        return sys.resolve("class/input");
    }

    private Path rawClass() {
        return sys.resolve("class/hidraw");
    }

    Path sound() {
        return dev.resolve("snd");
    }

    private Path soundClass() {
        return sys.resolve("class/sound");
    }

    /** All raw MIDI nodes. */
    List<DeviceNode> midis() {
        return list(soundClass(), MIDI).stream()
                .flatMap(file -> midi(file).stream())
                .toList();
    }

    /**
     * The raw MIDI node of that name, such as {@code midiC1D0}; empty if there is none. The card is in the directory
     * {@code sound} of the USB interface, which is in that of the USB device; another card has a name only.
     */
    Optional<DeviceNode> midi(String file) {
        try {
            Path card = soundClass().resolve(file).resolve("device").toRealPath();
            Path port = card.resolve("../..").normalize();
            Path device = port.resolve("..").normalize();
            String vendor = text(device.resolve("idVendor"));
            boolean usb = !vendor.isEmpty();
            String product = text(device.resolve("product"));
            return Optional.of(new DeviceNode(
                    sound().resolve(file),
                    usb && !product.isEmpty() ? product : text(card.resolve("id")),
                    usb ? (vendor + ":" + text(device.resolve("idProduct"))).toLowerCase(Locale.ROOT) : "",
                    port.getFileName() + "/midi" + file.substring(file.indexOf('D') + 1),
                    usb ? text(device.resolve("serial")) : "",
                    Capabilities.UNKNOWN));
        } catch (IOException e) {
            return Optional.empty();
        }
    }

    /** All event nodes. */
    List<DeviceNode> events() {
        return list(eventClass(), EVENT).stream()
                .flatMap(file -> event(file).stream())
                .toList();
    }

    /** All raw HID nodes. */
    List<DeviceNode> raws() {
        return list(rawClass(), RAW).stream()
                .flatMap(file -> raw(file).stream())
                .toList();
    }

    /** The event node of that name, such as {@code event3}; empty if there is none. */
    Optional<DeviceNode> event(String file) {
        Path device = eventClass().resolve(file).resolve("device");
        if (!Files.isDirectory(device)) {
            return Optional.empty();
        }
        return Optional.of(new DeviceNode(
                input().resolve(file),
                text(device.resolve("name")),
                (text(device.resolve("id/vendor")) + ":" + text(device.resolve("id/product"))).toLowerCase(Locale.ROOT),
                text(device.resolve("phys")),
                text(device.resolve("uniq")),
                new Capabilities(
                        text(device.resolve("capabilities/key")),
                        text(device.resolve("capabilities/abs")),
                        text(device.resolve("capabilities/rel")))));
    }

    /** The raw node of that name, such as {@code hidraw0}; empty if there is none. */
    Optional<DeviceNode> raw(String file) {
        Path device = rawClass().resolve(file).resolve("device");
        if (!Files.isDirectory(device)) {
            return Optional.empty();
        }
        Properties said = new Properties();
        for (String line : text(device.resolve("uevent")).split("\n")) {
            int equals = line.indexOf('=');
            if (equals > 0) {
                said.setProperty(line.substring(0, equals), line.substring(equals + 1));
            }
        }
        return Optional.of(new DeviceNode(
                dev.resolve(file),
                said.getProperty("HID_NAME", ""),
                usb(said.getProperty("HID_ID", "")),
                said.getProperty("HID_PHYS", ""),
                said.getProperty("HID_UNIQ", ""),
                Capabilities.UNKNOWN));
    }

    /** The report descriptor of a raw node; empty if it cannot be had. */
    byte[] reportDescriptor(DeviceNode raw) {
        try {
            return Files.readAllBytes(rawClass().resolve(raw.file()).resolve("device/report_descriptor"));
        } catch (IOException e) {
            return new byte[0];
        }
    }

    /** The raw node of the HID device behind an event node; empty if that is none. */
    Optional<Path> rawOf(DeviceNode event) {
        return list(eventClass().resolve(event.file()).resolve("device/device/hidraw"), RAW).stream()
                .findFirst()
                .map(dev::resolve);
    }

    /** Whether the device behind a raw node has an event node, too. */
    boolean alsoSendsEvents(DeviceNode raw) {
        Path inputs = rawClass().resolve(raw.file()).resolve("device/input");
        return list(inputs, "input[0-9]+").stream()
                .anyMatch(one -> !list(inputs.resolve(one), EVENT).isEmpty());
    }

    /** From {@code 0003:00001209:00002303}: bus, vendor, product. */
    private static String usb(String hidId) {
        String[] parts = hidId.toLowerCase(Locale.ROOT).split(":");
        return parts.length == 3 && parts[1].length() == 8 && parts[2].length() == 8
                ? parts[1].substring(4) + ":" + parts[2].substring(4)
                : "";
    }

    private static List<String> list(Path directory, String pattern) {
        List<String> files = new ArrayList<>();
        try (DirectoryStream<Path> entries = Files.newDirectoryStream(directory)) {
            for (Path entry : entries) {
                String file = entry.getFileName().toString();
                if (file.matches(pattern)) {
                    files.add(file);
                }
            }
        } catch (IOException e) {
            return List.of(); // the kernel has no such class until the first device comes
        }
        return files;
    }

    /** Empty also when the device went while it was read. */
    private static String text(Path file) {
        try {
            return new String(Files.readAllBytes(file), StandardCharsets.UTF_8).strip();
        } catch (IOException e) {
            return "";
        }
    }
}
