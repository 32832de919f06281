package instep.gear;

import com.sun.jna.Memory;
import com.sun.jna.Native;
import com.sun.jna.NativeLibrary;
import com.sun.jna.Pointer;
import java.nio.file.Path;

/** A serial line opened and set as termios(3) has it. Blocks, though never for a carrier; not on the loop. */
final class SerialLibc {
    private static final int O_RDWR = 0x2;
    private static final int O_NOCTTY = 0x100;
    private static final int O_NONBLOCK = 0x800;
    private static final int O_CLOEXEC = 0x80000;
    private static final long TIOCEXCL = 0x540c;
    private static final int TCSANOW = 0;
    private static final int TCIOFLUSH = 2;

    private static final int ENOENT = 2;
    private static final int EACCES = 13;
    private static final int EBUSY = 16;
    private static final int ENOTTY = 25;

    /** Of struct termios: c_iflag, c_oflag, c_cflag, c_lflag, four bytes each; the whole is 60 bytes. */
    private static final int C_IFLAG = 0;

    private static final int C_CFLAG = 8;
    private static final int TERMIOS_BYTES = 64;

    // asm-generic/termbits.h, which x86-64 and arm64 share
    private static final int INPCK = 0x10;
    private static final int CSIZE = 0x30;
    private static final int CS7 = 0x20;
    private static final int CS8 = 0x30;
    private static final int CSTOPB = 0x40;
    private static final int CREAD = 0x80;
    private static final int PARENB = 0x100;
    private static final int PARODD = 0x200;
    private static final int CLOCAL = 0x800;
    private static final int CRTSCTS = 0x80000000;

    static {
        // Else JNA starts "ldconfig -p" as a child to learn paths that nothing here needs.
        if (System.getProperty("jna.platform.library.path") == null) {
            System.setProperty("jna.platform.library.path", "");
        }
        Native.register(SerialLibc.class, NativeLibrary.getProcess());
    }

    private SerialLibc() {}

    private static native int open(String path, int flags);

    private static native int close(int fd);

    private static native int ioctl(int fd, long request, Pointer argument);

    private static native int tcgetattr(int fd, Pointer termios);

    private static native int tcsetattr(int fd, int actions, Pointer termios);

    private static native int tcflush(int fd, int queue);

    private static native void cfmakeraw(Pointer termios);

    private static native int cfsetspeed(Pointer termios, int speed);

    private static native String strerror(int errno);

    /** The descriptor, which does not block. */
    static int open(Path device, SerialLine line) throws UnfitException {
        int fd = open(device.toString(), O_RDWR | O_NOCTTY | O_NONBLOCK | O_CLOEXEC);
        if (fd < 0) {
            throw new UnfitException(why(device, Native.getLastError()));
        }
        if (set(fd, line) < 0) {
            int errno = Native.getLastError();
            close(fd);
            throw new UnfitException(why(device, errno));
        }
        ioctl(fd, TIOCEXCL, Pointer.NULL);
        tcflush(fd, TCIOFLUSH);
        return fd;
    }

    private static int set(int fd, SerialLine line) {
        try (Memory termios = new Memory(TERMIOS_BYTES)) {
            if (tcgetattr(fd, termios) < 0) {
                return -1;
            }
            cfmakeraw(termios);
            int flags = termios.getInt(C_CFLAG) & ~(CSIZE | CSTOPB | PARENB | PARODD | CRTSCTS);
            termios.setInt(C_CFLAG, flags | CREAD | CLOCAL | shape(line));
            if (line.parity() != SerialLine.Parity.NONE) {
                termios.setInt(C_IFLAG, termios.getInt(C_IFLAG) | INPCK);
            }
            // glibc takes the number itself, too; a number that it does not know is EINVAL.
            return cfsetspeed(termios, line.baud()) < 0 ? -1 : tcsetattr(fd, TCSANOW, termios);
        }
    }

    private static int shape(SerialLine line) {
        int parity = switch (line.parity()) {
            case NONE -> 0;
            case EVEN -> PARENB;
            case ODD -> PARENB | PARODD;
        };
        return (line.dataBits() == 7 ? CS7 : CS8) | (line.stopBits() == 2 ? CSTOPB : 0) | parity;
    }

    /** Throws away what has not gone out, so that closing does not wait for it. */
    static void flush(int fd) {
        tcflush(fd, TCIOFLUSH);
    }

    private static String why(Path device, int errno) {
        return switch (errno) {
            case ENOENT -> "there is no serial line " + device + ": is its cable in?";
            case EACCES -> "this user may not use the serial line " + device + ": add it to the group dialout";
            case EBUSY -> "another program has the serial line " + device;
            case ENOTTY -> device + " is no serial line";
            default -> "the serial line " + device + " cannot be opened: " + strerror(errno);
        };
    }
}
