package instep.input;

import io.netty.channel.IoEventLoop;
import java.io.IOException;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;

/**
 * What is plugged in and could be a pedal: all devices with keys, and all that send only raw reports. Needs no
 * configuration and grabs nothing.
 */
public final class Inventory {
    /** How a device can be read. */
    public enum Reading {
        /** As kernel events, one for each key. */
        KEYS,
        /** As raw HID reports, whose bits have to be named in the configuration. */
        REPORTS
    }

    /**
     * A device that is present; texts are empty where the kernel says nothing.
     *
     * @param usb vendor and product in hex, {@code 1209:2303}
     * @param phys where it is plugged in
     * @param missing why we may not open it, and what to do; empty if we may
     */
    public record Device(
            Path node, String name, String usb, String phys, String serial, Reading reading, String missing) {
        /** Whether we may open it. */
        public boolean isReadable() {
            return missing.isEmpty();
        }
    }

    /** What happens at the devices; called on the loop thread. */
    public interface Listener {
        /** A device is there; it is listened to if it is readable. */
        void came(Device device);

        /** A device that came was unplugged. */
        void went(Device device);

        /**
         * A key closed or opened.
         *
         * @param name the kernel's name of it, such as {@code KEY_A}
         * @param nanos monotonic, the kernel's
         */
        void key(Device device, int code, String name, boolean closed, long nanos);

        /**
         * A bit of a report changed; before the first report all are 0.
         *
         * @param byteIndex counted from 0
         * @param bit 0, the lowest, to 7
         * @param nanos monotonic, of the reading
         */
        void bit(Device device, int byteIndex, int bit, boolean closed, long nanos);
    }

    private final Host host;

    Inventory(Host host) {
        this.host = host;
    }

    /** Of this machine. */
    public static Inventory ofThisMachine() {
        return new Inventory(Host.machine());
    }

    /** The devices that are present, in the order of where they are plugged in. Opens and closes each; not for the loop. */
    public List<Device> devices() {
        List<Device> devices = new ArrayList<>();
        for (DeviceNode node : host.sysfs().events()) {
            if (node.capabilities().hasAnyKey()) {
                devices.add(tried(node, Reading.KEYS));
            }
        }
        for (DeviceNode node : RawNodes.find(host).nodes()) {
            if (!host.sysfs().alsoSendsEvents(node)) {
                devices.add(tried(node, Reading.REPORTS));
            }
        }
        devices.sort(Comparator.comparing(Device::phys).thenComparing(Device::node));
        return devices;
    }

    /**
     * Listens to all devices, also to those that come later, until it is closed.
     *
     * @throws IOException if the kernel does not let us watch for devices
     */
    public Listening listen(IoEventLoop loop, Listener listener) throws IOException {
        return Listening.start(loop, host, listener);
    }

    static Device of(DeviceNode node, Reading reading, String missing) {
        return new Device(node.node(), node.name(), node.usb(), node.phys(), node.serial(), reading, missing);
    }

    private Device tried(DeviceNode node, Reading reading) {
        try {
            int descriptor = reading == Reading.KEYS
                    ? host.opener().keys(node, false, new long[EvdevDecoder.WORDS])
                    : host.opener().reports(node);
            Libc.close(descriptor);
            return of(node, reading, "");
        } catch (NodeException e) {
            return of(node, reading, String.valueOf(e.getMessage()));
        }
    }
}
