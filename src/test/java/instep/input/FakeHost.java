package instep.input;

import com.sun.jna.Native;
import com.sun.jna.NativeLibrary;
import java.io.IOException;
import java.nio.channels.FileChannel;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardOpenOption;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.concurrent.Callable;
import java.util.concurrent.ConcurrentHashMap;
import java.util.stream.Stream;

/** A tree like sysfs, with FIFOs for nodes, and what opens them. */
final class FakeHost implements NodeOpener {
    static {
        Native.register(FakeHost.class, NativeLibrary.getProcess());
    }

    /** KEY_A, KEY_B and KEY_C in capabilities/key. */
    static final String KEYS = "1400040000000";
    /** ABS_Z in capabilities/abs. */
    static final String AXES = "4";
    /** REL_WHEEL in capabilities/rel. */
    static final String WHEELS = "100";

    private final Path root;
    /** The errno that opening a node of that name fails with. */
    final Map<String, Integer> refusals = new ConcurrentHashMap<>();

    final Map<String, long[]> down = new ConcurrentHashMap<>();
    volatile HidListing hid = List::of;
    /** What happens once, after a node of that name was found and before it is opened. */
    final Map<String, Callable<DeviceNode>> meanwhile = new ConcurrentHashMap<>();

    FakeHost(Path root) throws IOException {
        this.root = root;
        Files.createDirectories(root.resolve("sys/class/input"));
        Files.createDirectories(root.resolve("sys/class/hidraw"));
        Files.createDirectories(root.resolve("dev"));
    }

    private static native int mkfifo(String path, int mode);

    Host host() {
        return new Host(sysfs(), this, () -> hid.list());
    }

    Sysfs sysfs() {
        return new Sysfs(root.resolve("sys"), root.resolve("dev"));
    }

    Path dev() {
        return root.resolve("dev");
    }

    /** Plugs in a device with keys: sysfs first, then the node, as the kernel does. */
    DeviceNode event(String file, String name, String usb, String phys) throws IOException {
        Path device = Files.createDirectories(
                root.resolve("sys/class/input").resolve(file).resolve("device"));
        Files.createDirectories(device.resolve("id"));
        Files.createDirectories(device.resolve("capabilities"));
        Files.writeString(device.resolve("name"), name + "\n");
        Files.writeString(device.resolve("phys"), phys + "\n");
        Files.writeString(device.resolve("uniq"), "SN-" + file + "\n");
        Files.writeString(device.resolve("id/vendor"), usb.substring(0, 4) + "\n");
        Files.writeString(device.resolve("id/product"), usb.substring(5) + "\n");
        Files.writeString(device.resolve("capabilities/key"), KEYS + "\n");
        Files.writeString(device.resolve("capabilities/abs"), AXES + "\n");
        Files.writeString(device.resolve("capabilities/rel"), WHEELS + "\n");
        // Before the node comes, since what it sets off may take all of it away again.
        DeviceNode made = sysfs().event(file).orElseThrow();
        fifo(Files.createDirectories(root.resolve("dev/input")).resolve(file));
        return made;
    }

    void keysOf(String file, String mask) throws IOException {
        Files.writeString(root.resolve("sys/class/input").resolve(file).resolve("device/capabilities/key"), mask);
    }

    /** Says of a device that it has neither keys nor axes nor wheels. */
    void sendsNothing(String file) throws IOException {
        for (String set : List.of("key", "abs", "rel")) {
            Files.writeString(
                    root.resolve("sys/class/input")
                            .resolve(file)
                            .resolve("device/capabilities")
                            .resolve(set),
                    "0");
        }
    }

    /** Plugs in a device that sends raw reports. */
    DeviceNode raw(String file, String name, String usb, String phys) throws IOException {
        Path device = Files.createDirectories(
                root.resolve("sys/class/hidraw").resolve(file).resolve("device"));
        String id = "0003:0000" + usb.toUpperCase(Locale.ROOT).replace(":", ":0000");
        Files.writeString(
                device.resolve("uevent"),
                "DRIVER=hid-generic\nHID_ID=%s\nHID_NAME=%s\nHID_PHYS=%s\nHID_UNIQ=SN-%s\nMODALIAS=hid:b0003\n"
                        .formatted(id, name, phys, file));
        DeviceNode made = sysfs().raw(file).orElseThrow();
        fifo(root.resolve("dev").resolve(file));
        return made;
    }

    /** Plugs in a USB MIDI device: its card is in the interface's directory, where the class has a link to. */
    DeviceNode midi(String file, String name, String usb, String port) throws IOException {
        Path device = Files.createDirectories(root.resolve("sys/devices/usb1").resolve(port));
        Files.writeString(device.resolve("idVendor"), usb.substring(0, 4) + "\n");
        Files.writeString(device.resolve("idProduct"), usb.substring(5) + "\n");
        Files.writeString(device.resolve("product"), name + "\n");
        Path card = Files.createDirectories(device.resolve(port + ":1.0/sound/card1"));
        Files.writeString(card.resolve("id"), "Board\n");
        Path entry = Files.createDirectories(root.resolve("sys/class/sound").resolve(file));
        Files.createSymbolicLink(entry.resolve("device"), card);
        DeviceNode made = sysfs().midi(file).orElseThrow();
        fifo(Files.createDirectories(root.resolve("dev/snd")).resolve(file));
        return made;
    }

    /** What is written there the device sends; closing it is unplugging if {@link #remove} came before. */
    FileChannel writing(String node) throws IOException {
        return FileChannel.open(dev().resolve(node), StandardOpenOption.WRITE);
    }

    /** Takes a device out of the tree; its node stays open for who has it open. */
    void remove(String node) throws IOException {
        String kind = node.startsWith("hidraw") ? "hidraw" : node.startsWith("snd/") ? "sound" : "input";
        Path entry =
                root.resolve("sys/class").resolve(kind).resolve(Path.of(node).getFileName());
        List<Path> all = new ArrayList<>();
        try (Stream<Path> walk = Files.walk(entry)) {
            walk.forEach(path -> all.add(0, path));
        }
        for (Path path : all) {
            Files.delete(path);
        }
        Files.delete(dev().resolve(node));
    }

    private static void fifo(Path path) throws IOException {
        if (mkfifo(path.toString(), 0600) != 0) {
            throw new IOException("mkfifo " + path);
        }
    }

    @Override
    public int keys(DeviceNode device, boolean grab, long[] keys) throws NodeException {
        if (refusals.getOrDefault(device.file(), 0) == Libc.EBUSY && grab) {
            throw NodeException.held(device);
        }
        long[] held = down.get(device.file());
        if (held != null) {
            System.arraycopy(held, 0, keys, 0, keys.length);
        }
        return reports(device);
    }

    @Override
    public int reports(DeviceNode device) throws NodeException {
        int errno = refusals.getOrDefault(device.file(), 0);
        if (errno != 0) {
            throw NodeException.opening(device.node(), errno);
        }
        Callable<DeviceNode> happening = meanwhile.remove(device.file());
        if (happening != null) {
            call(happening);
        }
        int fd = Libc.open(device.node().toString(), Libc.O_RDONLY | Libc.O_NONBLOCK | Libc.O_CLOEXEC);
        if (fd < 0) {
            throw NodeException.opening(device.node(), Libc.errno());
        }
        return fd;
    }

    private static void call(Callable<DeviceNode> happening) {
        try {
            happening.call();
        } catch (Exception e) {
            throw new AssertionError(e);
        }
    }

    /** Takes the node away and puts it back, with all that sysfs says of it as it was. */
    void replug(String node) throws IOException {
        Files.delete(dev().resolve(node));
        fifo(dev().resolve(node));
    }

    @Override
    public MidiDescriptor midi(DeviceNode device) throws NodeException {
        return new MidiDescriptor(reports(device), false);
    }

    @Override
    public EvdevDecoder.State state(int descriptor) {
        return keys -> false;
    }
}
