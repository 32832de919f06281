package instep.input;

import java.nio.file.Path;

/**
 * A device node and what the kernel says of the device behind it; texts are empty where it says nothing.
 *
 * @param usb vendor and product in hex, lower case, {@code 1209:2303}
 * @param phys where it is plugged in
 * @param keyMask the keys that it has, as sysfs prints them: hex words of 64 bits, the highest first
 */
record DeviceNode(Path node, String name, String usb, String phys, String serial, String keyMask) {
    String file() {
        return node.getFileName().toString();
    }

    /** Whether it has the key; one that does not list its keys may have any. */
    boolean hasKey(int code) {
        if (keyMask.isEmpty()) {
            return true;
        }
        String[] words = keyMask.split(" ");
        int word = words.length - 1 - code / Long.SIZE;
        return word >= 0 && (Long.parseUnsignedLong(words[word], 16) >>> code & 1) != 0;
    }

    boolean hasAnyKey() {
        return keyMask.chars().anyMatch(c -> c != '0' && c != ' ');
    }

    /** For a person: {@code /dev/input/event3 (Clay Works Pedal, usb 1209:2303)}. */
    String words() {
        return node + " (" + (name.isEmpty() ? "no name" : name) + ", usb " + usb + ")";
    }
}
