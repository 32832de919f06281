package instep.gear;

import io.netty.channel.ConnectTimeoutException;
import io.netty.channel.unix.Errors;
import java.net.ConnectException;
import java.net.NoRouteToHostException;
import java.net.PortUnreachableException;
import java.net.UnknownHostException;
import java.nio.channels.ClosedChannelException;
import javax.net.ssl.SSLException;

/** Says for a person why a link is lost. Told by the kind of error, since the system's own texts come in the system's language. */
final class Reasons {
    private static final int TIMED_OUT = -110; // Linux, errno.h: ETIMEDOUT
    private static final int NETWORK_UNREACHABLE = -101; // ENETUNREACH

    private final String gear;
    private final String host;
    private final String where;

    Reasons(String gear, String host, int port) {
        this.gear = gear;
        this.host = host;
        this.where = where(host, port);
    }

    /** Memory that has run out, and the like, is no fault of a device: whoever answers for the program is told, who ends it. */
    static void endIfFatal(Throwable cause) {
        if (cause instanceof VirtualMachineError) {
            Thread thread = Thread.currentThread();
            thread.getUncaughtExceptionHandler().uncaughtException(thread, cause);
        }
    }

    /** {@code host:port}, with an IPv6 address in brackets (RFC 3986, section 3.2.2). */
    static String where(String host, int port) {
        return (host.indexOf(':') >= 0 ? "[" + host + "]" : host) + ":" + port;
    }

    String where() {
        return where;
    }

    String of(Throwable cause) {
        if (cause instanceof ConnectTimeoutException || errno(cause) == TIMED_OUT) {
            return "no answer from " + where + ": is the " + gear + " on and on the network?";
        }
        if (cause instanceof UnknownHostException) {
            return "nobody on the network knows the name " + host + ": is it spelled right? An address works, too";
        }
        if (cause instanceof NoRouteToHostException || errno(cause) == NETWORK_UNREACHABLE) {
            return "no way to " + host + ": is the network cable in, and is the " + gear + " on?";
        }
        if (cause instanceof PortUnreachableException) {
            return "nothing listens at " + where + ": is the " + gear + " on?";
        }
        if (cause instanceof ConnectException) {
            return "connection refused by " + where + ": is the " + gear + " on?";
        }
        if (cause instanceof DeclinedException no) {
            return where + " " + no.what();
        }
        if (cause instanceof SSLException) {
            return TlsReasons.of(cause, host, where);
        }
        String detail = cause.getMessage();
        return cause instanceof ClosedChannelException || detail == null
                ? closed()
                : where + " dropped the connection (" + Render.line(detail) + ")";
    }

    String closed() {
        return where + " closed the connection";
    }

    String frozen() {
        return where + " takes no more bytes: is the " + gear + " frozen?";
    }

    private static int errno(Throwable cause) {
        return cause instanceof Errors.NativeIoException io ? io.expectedErr() : 0;
    }
}
