package instep.input;

import java.nio.file.Path;

/**
 * A device node and what the kernel says of the device behind it; texts are empty where it says nothing.
 *
 * @param usb vendor and product in hex, lower case, {@code 1209:2303}
 * @param phys where it is plugged in
 */
record DeviceNode(Path node, String name, String usb, String phys, String serial, Capabilities capabilities) {
    String file() {
        return node.getFileName().toString();
    }

    /** Whether both are of one kind and plugged in at one place. */
    boolean isAt(DeviceNode other) {
        return usb.equals(other.usb) && phys.equals(other.phys);
    }

    /** For a person: {@code /dev/input/event3 (Clay Works Pedal, usb 1209:2303)}. */
    String words() {
        return node + " (" + (name.isEmpty() ? "no name" : OutsideText.visible(name))
                + (usb.isEmpty() ? "" : ", usb " + usb) + ")";
    }
}
