package instep.identify;

import instep.input.Inventory;
import instep.input.Inventory.Device;
import instep.input.Inventory.Reading;
import instep.input.OutsideText;
import java.util.ArrayList;
import java.util.List;
import java.util.Set;
import java.util.stream.Collectors;

/**
 * What was pressed so far, as lines of a configuration.
 *
 * @param contacts in the order in which they were pressed first
 * @param present all devices that are there, also those of which nothing was pressed
 */
public record FoundPedals(List<FoundContact> contacts, Set<Device> present) {
    private static final List<String> NAMES = List.of("floor", "box");

    /** The devices of which something was pressed, in that order. */
    List<Device> devices() {
        return contacts.stream().map(FoundContact::device).distinct().toList();
    }

    /** The section {@code pedals} with all of them, or with that of one device. */
    String yaml(List<Device> some) {
        List<Device> all = devices();
        StringBuilder text = new StringBuilder("pedals:\n");
        for (Device device : some) {
            int number = all.indexOf(device);
            text.append("  ")
                    .append(number < NAMES.size() ? NAMES.get(number) : "unit-" + (number + 1))
                    .append(":\n    match: { ")
                    .append(match(device))
                    .append(" }\n");
            if (device.reading() == Reading.KEYS) {
                text.append("    grab: true\n");
            }
            text.append("    contacts:\n");
            contacts.stream()
                    .filter(contact -> contact.device().equals(device))
                    .forEach(contact -> text.append("      ")
                            .append(contact.name())
                            .append(": ")
                            .append(contact.written())
                            .append('\n'));
        }
        return text.toString();
    }

    /** What tells the device from all others that are there. */
    private String match(Device device) {
        List<Device> alike = present.stream()
                .filter(other -> other.reading() == device.reading()
                        && other.usb().equals(device.usb())
                        && (!device.usb().isEmpty() || other.name().equals(device.name())))
                .toList();
        List<String> keys = new ArrayList<>();
        keys.add(device.usb().isEmpty() ? "name: " + quoted(device.name()) : "usb: " + quoted(device.usb()));
        List<Device> namesakes = alike.stream()
                .filter(other -> other.name().equals(device.name()))
                .toList();
        if (namesakes.size() < alike.size() && !device.name().isEmpty()) {
            keys.add("name: " + quoted(device.name()));
        }
        if (namesakes.size() > 1) {
            keys.add(apart(device, namesakes));
        }
        return String.join(", ", keys);
    }

    /** What holds also when the other one is missing, or comes first: a place in a row only if nothing else tells them apart. */
    private static String apart(Device device, List<Device> namesakes) {
        if (hasItsOwnSerial(device, namesakes)) {
            return "serial: " + quoted(device.serial());
        }
        return hasItsOwnPort(device, namesakes)
                ? "phys: " + quoted(device.phys())
                : "which: " + Inventory.which(device, namesakes);
    }

    private static boolean hasItsOwnPort(Device device, List<Device> alike) {
        return !device.phys().isEmpty()
                && alike.stream()
                                .filter(other -> other.phys().equals(device.phys()))
                                .count()
                        == 1;
    }

    private static boolean hasItsOwnSerial(Device device, List<Device> alike) {
        return !device.serial().isEmpty()
                && alike.stream()
                                .filter(other -> other.serial().equals(device.serial()))
                                .count()
                        == 1;
    }

    private static String quoted(String text) {
        return '"' + OutsideText.visible(text.replace("\\", "\\\\").replace("\"", "\\\"")) + '"';
    }

    /** How a device is told from those like it, for a person; empty if there is none. */
    String twins(Device device) {
        List<Device> alike = present.stream()
                .filter(other -> other.reading() == device.reading()
                        && other.usb().equals(device.usb())
                        && other.name().equals(device.name()))
                .toList();
        if (alike.size() < 2) {
            return "";
        }
        return hasItsOwnSerial(device, alike)
                ? "There are " + alike.size() + " of these; each has a serial number of its own."
                : "There are " + alike.size()
                        + " of these; only the port tells them apart, so leave each in its own: "
                        + alike.stream().map(Device::phys).sorted().collect(Collectors.joining(", "));
    }
}
