package instep.input;

import java.nio.file.Path;
import java.util.List;

/** A pedal unit or button box: the device, and which of its signals is which contact. */
public sealed interface PedalSettings {
    /** The name in the configuration. */
    String name();

    /** A device with keys, read as kernel events. */
    record Keys(String name, DeviceMatch match, boolean grab, List<Key> keys) implements PedalSettings {
        public Keys {
            keys = List.copyOf(keys);
        }
    }

    /** A device read as raw HID reports. */
    record Reports(String name, DeviceMatch match, List<ReportBit> bits) implements PedalSettings {
        public Reports {
            bits = List.copyOf(bits);
        }
    }

    /** A recorded list of timed edges in place of a device. */
    record Performed(String name, Path file, List<Named> contacts) implements PedalSettings {
        public Performed {
            contacts = List.copyOf(contacts);
        }
    }

    /**
     * A key or button.
     *
     * @param contact the number of the contact
     * @param code the kernel's number, such as 30 for {@code KEY_A}
     */
    record Key(int contact, int code) {}

    /**
     * A bit of a report: 1 is closed.
     *
     * @param contact the number of the contact
     * @param byteIndex counted from 0; if the device numbers its reports, byte 0 is the number
     * @param bit 0, the lowest, to 7
     */
    record ReportBit(int contact, int byteIndex, int bit) {}

    /** A contact by the name that it bears in the file. */
    record Named(int contact, String name) {}
}
