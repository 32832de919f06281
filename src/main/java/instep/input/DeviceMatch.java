package instep.input;

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
        int which) {}
