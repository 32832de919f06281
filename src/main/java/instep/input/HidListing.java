package instep.input;

import java.util.List;

/** Lists the HID devices of the machine; slow, so never on the loop thread. */
@FunctionalInterface
interface HidListing {
    /**
     * One device.
     *
     * @param path its raw node, such as {@code /dev/hidraw0}
     * @param usb vendor and product in hex, lower case
     * @param name maker and product in their own words
     */
    record Listed(String path, String usb, String serial, String name) {}

    /** Each raw node once. */
    List<Listed> list() throws Unavailable;

    /** The listing cannot be had; the message says why. */
    final class Unavailable extends Exception {
        Unavailable(String message, Throwable cause) {
            super(message, cause);
        }
    }
}
