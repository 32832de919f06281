package instep.input;

import io.netty.channel.IoEventLoop;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.attribute.PosixFileAttributes;
import java.nio.file.attribute.PosixFilePermission;
import java.util.ArrayList;
import java.util.Collection;
import java.util.Comparator;
import java.util.List;

/**
 * What is plugged in and could be a pedal: all devices with keys, axes or wheels, all that send only raw reports, and all that speak MIDI. Needs no
 * configuration and keeps nothing from anybody.
 */
public final class Inventory {
    /** How a device can be read. */
    public enum Reading {
        /** As kernel events: keys, axes and wheels. */
        KEYS,
        /** As raw HID reports, whose bits have to be named in the configuration. */
        REPORTS,
        /** As MIDI: notes, controllers and programs. */
        MIDI
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

        /** Whether the service may, whose rights are those of the group {@code input}: root, who may be asking, can read everything. */
        public boolean isOpenToTheService() {
            try {
                PosixFileAttributes file = Files.readAttributes(node, PosixFileAttributes.class);
                return file.permissions().contains(PosixFilePermission.OTHERS_READ)
                        || (file.group().getName().equals("input")
                                && file.permissions().contains(PosixFilePermission.GROUP_READ));
            } catch (IOException e) {
                return true; // it has gone
            }
        }
    }

    /** What happens at the devices; called on the loop thread. */
    public interface Listener {
        /** A device is there; it is listened to if it is readable. */
        void came(Device device);

        /** A device that came was unplugged. */
        void went(Device device);

        /**
         * A switch closed or opened; a detent of a wheel does both at once.
         *
         * @param nanos monotonic: the kernel's, of raw reports that of the reading
         */
        void switched(Device device, Signal signal, boolean closed, long nanos);

        /** Something that moves stands there before it is moved, as a share of its way from 0 to 1. */
        void stands(Device device, Signal signal, double share);

        /** Something was moved to there. */
        void moved(Device device, Signal signal, double share, long nanos);
    }

    private static final String HELD = "another program keeps it to itself, perhaps an instep that is running:"
            + " stop that one while you identify pedals (systemctl stop instep)";

    /** As {@link Places} orders nodes. */
    private static final Comparator<Device> ORDER = Comparator.comparing(
                    (Device device) -> Places.sortable(device.phys()))
            .thenComparing(
                    device -> Places.sortable(String.valueOf(device.node().getFileName())));

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
            if (node.capabilities().couldBePedal()) {
                devices.add(tried(node, Reading.KEYS));
            }
        }
        for (DeviceNode node : RawNodes.find(host).nodes()) {
            if (!host.sysfs().alsoSendsEvents(node)) {
                devices.add(tried(node, Reading.REPORTS));
            }
        }
        host.sysfs().midis().forEach(node -> devices.add(tried(node, Reading.MIDI)));
        devices.sort(ORDER);
        return devices;
    }

    /** Which of the devices that a configuration could not tell apart it is, in the order in which {@code which} counts, from 1. */
    public static int which(Device device, Collection<Device> alike) {
        return alike.stream().sorted(ORDER).toList().indexOf(device) + 1;
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
            int descriptor = switch (reading) {
                // Taken for a moment, to learn whether another program has it: then nobody else hears of its keys.
                case KEYS -> host.opener().keys(node, true, new long[EvdevDecoder.WORDS]);
                case REPORTS -> host.opener().reports(node);
                case MIDI -> host.opener().midi(node).number();
            };
            Libc.close(descriptor);
            return of(node, reading, "");
        } catch (NodeException e) {
            return of(node, reading, e.isHeld() ? HELD : String.valueOf(e.getMessage()));
        }
    }
}
