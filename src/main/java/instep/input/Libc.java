package instep.input;

import com.sun.jna.Native;
import com.sun.jna.NativeLibrary;
import com.sun.jna.Pointer;

/** The few calls that Java does not have. Each returns what the C function returns; {@link #errno} tells why one failed. */
final class Libc {
    static final int O_RDONLY = 0;
    static final int O_NONBLOCK = 0x800;
    static final int O_CLOEXEC = 0x80000;
    /** For a pipe: one read gives what one write put in. */
    static final int O_DIRECT = "aarch64".equals(System.getProperty("os.arch")) ? 0x10000 : 0x4000;

    static final int EPERM = 1;
    static final int ENOENT = 2;
    static final int ENXIO = 6;
    static final int EACCES = 13;
    static final int EBUSY = 16;
    static final int EEXIST = 17;
    static final int ENODEV = 19;
    static final int ENOTDIR = 20;

    static {
        // Else JNA starts "ldconfig -p" as a child to learn paths that nothing here needs.
        if (System.getProperty("jna.platform.library.path") == null) {
            System.setProperty("jna.platform.library.path", "");
        }
        Native.register(Libc.class, NativeLibrary.getProcess());
    }

    private Libc() {}

    static native int open(String path, int flags);

    static native int close(int fd);

    /** The request is an unsigned long in C: pass it without a sign. */
    static native int ioctl(int fd, long request, Pointer argument);

    static native int pipe2(int[] ends, int flags);

    static native int inotify_init1(int flags);

    static native int inotify_add_watch(int fd, String path, int mask);

    static native int timerfd_create(int clock, int flags);

    /** {@code value}: {@code struct itimerspec}, four longs of 64-bit systems. */
    static native int timerfd_settime(int fd, int flags, long[] value, Pointer old);

    static native int mkfifo(String path, int mode);

    private static native String strerror(int errno);

    /** The error of this thread's last call. */
    static int errno() {
        return Native.getLastError();
    }

    /** An error in words, with its number. */
    static String words(int errno) {
        return strerror(errno) + " (errno " + errno + ")";
    }
}
