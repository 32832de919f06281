package instep.input;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.attribute.PosixFileAttributes;
import java.nio.file.attribute.PosixFilePermission;
import java.util.Set;

/** A device node that could not be opened; the message says what is missing. */
final class NodeException extends Exception {
    private final int errno;

    private NodeException(int errno, String message) {
        super(message);
        this.errno = errno;
    }

    /** The fault of an {@code open}. */
    static NodeException opening(Path node, int errno) {
        return new NodeException(
                errno,
                switch (errno) {
                    case Libc.EACCES -> permission(node);
                    case Libc.EPERM ->
                        "not allowed to open " + node
                                + ": the service's sandbox forbids it; allow the device there (DeviceAllow=)";
                    case Libc.EBUSY -> "another program holds " + node + "; end that program";
                    case Libc.ENOENT, Libc.ENXIO, Libc.ENODEV -> node + " is gone";
                    default -> "cannot open " + node + ": " + Libc.words(errno);
                });
    }

    /** The device is grabbed elsewhere. */
    static NodeException held(DeviceNode device) {
        return new NodeException(
                Libc.EBUSY, "another program holds it: " + device.words() + "; end that program, or set grab: false");
    }

    /** A node of the wrong kind, or one that went while it was set up. */
    static NodeException unfit(Path node, String kind, int errno) {
        return errno == Libc.ENODEV
                ? opening(node, errno)
                : new NodeException(errno, node + " is not " + kind + ": " + Libc.words(errno));
    }

    /** A MIDI device that has no input for us. */
    static NodeException mute(Path node) {
        return new NodeException(0, node + " takes MIDI but sends none");
    }

    /** The device went between being found and being opened. */
    boolean isGone() {
        return errno == Libc.ENOENT || errno == Libc.ENXIO || errno == Libc.ENODEV;
    }

    boolean isHeld() {
        return errno == Libc.EBUSY;
    }

    /** Permissions may still be on their way: udev sets them after the kernel has made the node. */
    boolean isForbidden() {
        return errno == Libc.EACCES;
    }

    private static String permission(Path node) {
        String start = "no permission on " + node + ": ";
        try {
            PosixFileAttributes file = Files.readAttributes(node, PosixFileAttributes.class);
            return start + remedy(file.group().getName(), file.permissions());
        } catch (IOException e) {
            return start + "install the udev rule";
        }
    }

    /** What a person can do about a node of that group and mode. */
    static String remedy(String group, Set<PosixFilePermission> mode) {
        return mode.contains(PosixFilePermission.GROUP_READ) && !group.equals("root")
                ? "it belongs to group " + group + "; add the service's user to it or install the udev rule"
                : "only root may read it; install the udev rule";
    }
}
