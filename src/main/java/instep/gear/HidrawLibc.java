package instep.gear;

import com.sun.jna.Memory;
import com.sun.jna.Native;
import com.sun.jna.NativeLibrary;
import com.sun.jna.Pointer;
import java.nio.file.Path;

/** A raw HID node opened for output reports. Blocks while a sleeping device wakes; not on the loop. */
final class HidrawLibc {
    private static final int O_WRONLY = 0x1;
    private static final int O_CLOEXEC = 0x80000;
    /** linux/hidraw.h; fills a struct hidraw_devinfo. */
    static final long HIDIOCGRAWINFO = 0x80084803L;

    private static final int DEVINFO_BYTES = 8;
    private static final int EACCES = 13;

    static {
        // Else JNA starts "ldconfig -p" as a child to learn paths that nothing here needs.
        if (System.getProperty("jna.platform.library.path") == null) {
            System.setProperty("jna.platform.library.path", "");
        }
        Native.register(HidrawLibc.class, NativeLibrary.getProcess());
    }

    private HidrawLibc() {}

    private static native int open(String path, int flags);

    private static native int close(int fd);

    private static native int ioctl(int fd, long request, Pointer argument);

    private static native String strerror(int errno);

    /** The descriptor of a node that is strictly a raw HID device's. */
    static int open(Path node) throws UnfitException {
        int fd = openForWriting(node);
        try (Memory info = new Memory(DEVINFO_BYTES)) {
            if (ioctl(fd, HIDIOCGRAWINFO, info) < 0) {
                close(fd);
                throw new UnfitException(node + " is not a raw HID device");
            }
        }
        return fd;
    }

    /** Whether the device behind the descriptor of a raw HID node has gone. */
    static boolean isGone(int fd) {
        try (Memory info = new Memory(DEVINFO_BYTES)) {
            return ioctl(fd, HIDIOCGRAWINFO, info) < 0;
        }
    }

    /** The descriptor of whatever is there. */
    static int openForWriting(Path node) throws UnfitException {
        int fd = open(node.toString(), O_WRONLY | O_CLOEXEC);
        if (fd >= 0) {
            return fd;
        }
        int errno = Native.getLastError();
        throw new UnfitException(
                errno == EACCES
                        ? "no permission to write to " + node
                                + ": the udev rule for the device lets the service do so (MODE=\"0660\")"
                        : "cannot open " + node + ": " + strerror(errno));
    }
}
