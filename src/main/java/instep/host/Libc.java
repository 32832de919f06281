package instep.host;

import com.sun.jna.Native;
import com.sun.jna.NativeLibrary;

/** The calls for a datagram socket of the Unix family, which Java 17 does not have. Each returns what the C function returns. */
final class Libc {
    static final short AF_UNIX = 1;
    static final int SOCK_DGRAM = 2;
    static final int SOCK_CLOEXEC = 0x80000;
    static final int MSG_DONTWAIT = 0x40;
    static final int MSG_NOSIGNAL = 0x4000;

    static {
        // Else JNA starts "ldconfig -p" as a child to learn paths that nothing here needs.
        if (System.getProperty("jna.platform.library.path") == null) {
            System.setProperty("jna.platform.library.path", "");
        }
        Native.register(Libc.class, NativeLibrary.getProcess());
    }

    private Libc() {}

    static native int socket(int family, int type, int protocol);

    /** Lengths are size_t and socklen_t in C, both of which an int fits on a 64-bit machine when it is not negative. */
    static native long sendto(int fd, byte[] bytes, long length, int flags, byte[] address, int addressLength);

    static native int close(int fd);
}
