package instep.identify;

import instep.input.Inventory.Device;
import instep.input.OutsideText;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;

/** What a person is told of a device that is there. */
public final class DeviceLines {
    private DeviceLines() {}

    /** Its name and how it is read, then, indented, where it is, and what is in the way. */
    public static List<String> of(Device device) {
        List<String> lines = new ArrayList<>();
        String usb = device.usb().isEmpty() ? "" : "usb " + device.usb() + ", ";
        String reading = switch (device.reading()) {
            case KEYS -> "keys and axes";
            case REPORTS -> "raw reports";
            case MIDI -> "MIDI";
        };
        lines.add(shown(device.name()) + " (" + usb + reading + ", " + device.node() + ")");
        if (!device.phys().isEmpty()) {
            String serial = device.serial().isEmpty() ? "" : ", serial " + shown(device.serial());
            lines.add("    plugged in at " + device.phys() + serial);
        }
        boolean isForbidden = device.missing().startsWith("no permission");
        boolean isForbiddenToTheService = device.isReadable() && !device.isOpenToTheService();
        if (!device.isReadable()) {
            lines.add("    cannot be read: " + device.missing());
        } else if (isForbiddenToTheService) {
            lines.add("    can be read by you, but not by the service");
        }
        if ((isForbidden || isForbiddenToTheService) && device.usb().matches("[0-9a-f]{4}:[0-9a-f]{4}")) {
            lines.add("    the line for /etc/udev/rules.d/70-instep.rules:");
            lines.add("    " + udevRule(device));
            lines.add("    then: sudo udevadm control --reload && sudo udevadm trigger");
        }
        return lines;
    }

    /**
     * Lets the group input, which the service is of, read the device, and it alone: vendor and product stand in the name of a raw node's parent, and as attributes of
     * an event node's and of a USB sound card's.
     */
    static String udevRule(Device device) {
        String[] usb = device.usb().split(":", 2);
        return switch (device.reading()) {
            case KEYS ->
                "SUBSYSTEM==\"input\", KERNEL==\"event*\", ATTRS{id/vendor}==\"" + usb[0] + "\", ATTRS{id/product}==\""
                        + usb[1] + "\", GROUP=\"input\", MODE=\"0660\"";
            case REPORTS ->
                "SUBSYSTEM==\"hidraw\", KERNELS==\"*:" + device.usb().toUpperCase(Locale.ROOT)
                        + ".*\", GROUP=\"input\", MODE=\"0660\"";
            case MIDI ->
                "SUBSYSTEM==\"sound\", KERNEL==\"midiC*\", ATTRS{idVendor}==\"" + usb[0] + "\", ATTRS{idProduct}==\""
                        + usb[1] + "\", GROUP=\"input\", MODE=\"0660\"";
        };
    }

    /** Of what a device calls itself, nothing reaches a terminal but text. */
    static String shown(String text) {
        return text.isEmpty() ? "no name" : OutsideText.visible(text);
    }
}
