package instep.input;

import io.netty.channel.unix.Errors;

/** Why a port could not be opened, for a person. */
final class BindFault {
    // Linux, errno.h
    private static final int EACCES = -13;
    private static final int EADDRINUSE = -98;
    private static final int EADDRNOTAVAIL = -99;

    private BindFault() {}

    /** What to do about it. */
    static String words(String where, Throwable cause) {
        int errno = cause instanceof Errors.NativeIoException io ? io.expectedErr() : 0;
        return switch (errno) {
            case EADDRINUSE -> "another program listens at " + where + "; end it, or choose another port";
            case EADDRNOTAVAIL -> where + " is no address of this machine; is its network cable in?";
            case EACCES -> "not allowed to listen at " + where + "; choose a port above 1023";
            default -> "cannot listen at " + where + ": " + cause.getMessage();
        };
    }
}
