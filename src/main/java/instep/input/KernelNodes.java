package instep.input;

import com.sun.jna.Memory;
import com.sun.jna.Pointer;
import java.nio.file.Path;

/** The kernel's device nodes: strictly event nodes and raw HID nodes, nothing that only looks like them. */
final class KernelNodes implements NodeOpener {
    // linux/input.h, linux/hidraw.h
    private static final long EVIOCGVERSION = 0x80044501L;
    private static final long EVIOCSCLOCKID = 0x400445a0L;
    private static final long EVIOCGRAB = 0x40044590L;
    private static final long EVIOCGKEY = 0x80604518L;
    /** Of axis 0; the others follow. Fills a struct input_absinfo: value, minimum, maximum, fuzz, flat, resolution. */
    private static final long EVIOCGABS = 0x80184540L;

    private static final int ABSINFO_BYTES = 24;
    private static final long HIDIOCGRAWINFO = 0x80084803L;
    // sound/asound.h
    private static final long SNDRV_RAWMIDI_IOCTL_INFO = 0x810c5701L;
    private static final long SNDRV_RAWMIDI_IOCTL_USER_PVERSION = 0x40045702L;
    private static final long SNDRV_RAWMIDI_IOCTL_PARAMS = 0xc0305710L;
    private static final int SNDRV_RAWMIDI_STREAM_INPUT = 1;
    /** SNDRV_PROTOCOL_VERSION(2, 0, 2): who does not say that they know of frames gets none. */
    private static final int FRAMES_VERSION = 0x20002;
    /** SNDRV_RAWMIDI_MODE_FRAMING_TSTAMP and SNDRV_RAWMIDI_MODE_CLOCK_MONOTONIC. */
    private static final int FRAMED_MONOTONIC = 0x11;

    /** What a second of a wire's messages needs, each in a frame of its own, with room to spare. */
    private static final long MIDI_QUEUE_BYTES = 1 << 16;

    private static final int CLOCK_MONOTONIC = 1;
    private static final int READING = Libc.O_RDONLY | Libc.O_NONBLOCK | Libc.O_CLOEXEC;

    @Override
    public int keys(DeviceNode device, boolean grab, long[] down) throws NodeException {
        int fd = open(device.node());
        try {
            setUp(fd, device, grab);
            state(fd).down(down);
            return fd;
        } catch (NodeException e) {
            Libc.close(fd);
            throw e;
        }
    }

    /** The clock comes first: changed later, it would cost queued events and stamp the next one wrongly. */
    private static void setUp(int fd, DeviceNode device, boolean grab) throws NodeException {
        try (Memory word = new Memory(Integer.BYTES)) {
            word.setInt(0, CLOCK_MONOTONIC);
            if (Libc.ioctl(fd, EVIOCSCLOCKID, word) < 0 || Libc.ioctl(fd, EVIOCGVERSION, word) < 0) {
                throw NodeException.unfit(device.node(), "an input event device", Libc.errno());
            }
        }
        if (grab && Libc.ioctl(fd, EVIOCGRAB, Pointer.createConstant(1)) < 0) {
            int errno = Libc.errno();
            throw errno == Libc.EBUSY
                    ? NodeException.held(device)
                    : NodeException.unfit(device.node(), "a device that can be grabbed", errno);
        }
    }

    @Override
    public int reports(DeviceNode device) throws NodeException {
        int fd = open(device.node());
        try (Memory info = new Memory(8)) {
            if (Libc.ioctl(fd, HIDIOCGRAWINFO, info) < 0) {
                NodeException fault = NodeException.unfit(device.node(), "a raw HID device", Libc.errno());
                Libc.close(fd);
                throw fault;
            }
        }
        return fd;
    }

    @Override
    public MidiDescriptor midi(DeviceNode device) throws NodeException {
        int fd = Libc.open(device.node().toString(), READING);
        if (fd < 0) {
            // sound/core/rawmidi.c: it has outputs only; a node that goes says ENODEV
            int errno = Libc.errno();
            throw errno == Libc.ENXIO ? NodeException.mute(device.node()) : NodeException.opening(device.node(), errno);
        }
        try {
            firstInput(fd, device.node());
            return new MidiDescriptor(fd, asksForStamps(fd));
        } catch (NodeException e) {
            Libc.close(fd);
            throw e;
        }
    }

    /** A node stands for several inputs, and the kernel gives the first that nobody has: another one would be a stranger's. */
    private static void firstInput(int fd, Path node) throws NodeException {
        try (Memory info = new Memory(268)) { // struct snd_rawmidi_info
            info.clear();
            info.setInt(8, SNDRV_RAWMIDI_STREAM_INPUT);
            if (Libc.ioctl(fd, SNDRV_RAWMIDI_IOCTL_INFO, info) < 0) {
                throw NodeException.unfit(node, "a raw MIDI device", Libc.errno());
            }
            if (info.getInt(4) != 0) {
                throw NodeException.opening(node, Libc.EBUSY);
            }
        }
    }

    /** Kernels from 5.14 on can. */
    private static boolean asksForStamps(int fd) {
        try (Memory version = new Memory(Integer.BYTES);
                Memory parameters = new Memory(48)) { // struct snd_rawmidi_params
            version.setInt(0, FRAMES_VERSION);
            parameters.clear();
            parameters.setInt(0, SNDRV_RAWMIDI_STREAM_INPUT);
            parameters.setLong(8, MIDI_QUEUE_BYTES);
            parameters.setLong(16, 1);
            parameters.setInt(28, FRAMED_MONOTONIC);
            return Libc.ioctl(fd, SNDRV_RAWMIDI_IOCTL_USER_PVERSION, version) >= 0
                    && Libc.ioctl(fd, SNDRV_RAWMIDI_IOCTL_PARAMS, parameters) >= 0;
        }
    }

    @Override
    public EvdevDecoder.State state(int fd) {
        return new Asked(fd);
    }

    private static final class Asked implements EvdevDecoder.State {
        private final int fd;
        private final Memory mask = new Memory((long) EvdevDecoder.WORDS * Long.BYTES);
        private final Memory absinfo = new Memory(ABSINFO_BYTES);

        Asked(int fd) {
            this.fd = fd;
        }

        @Override
        public boolean down(long[] keys) {
            if (Libc.ioctl(fd, EVIOCGKEY, mask) < 0) {
                return false;
            }
            mask.read(0, keys, 0, keys.length);
            return true;
        }

        @Override
        public boolean axis(int code, int[] position) {
            if (Libc.ioctl(fd, EVIOCGABS + code, absinfo) < 0) {
                return false;
            }
            absinfo.read(0, position, 0, position.length);
            return true;
        }

        @Override
        public long now() {
            return System.nanoTime();
        }
    }

    private static int open(Path node) throws NodeException {
        int fd = Libc.open(node.toString(), READING);
        if (fd < 0) {
            throw NodeException.opening(node, Libc.errno());
        }
        return fd;
    }
}
