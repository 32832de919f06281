package instep.gear;

import io.netty.handler.ssl.NotSslRecordException;
import io.netty.handler.ssl.SslHandshakeTimeoutException;
import java.security.cert.CertPathBuilderException;
import java.security.cert.CertificateException;
import java.security.cert.CertificateExpiredException;
import java.security.cert.CertificateNotYetValidException;
import java.util.HashSet;
import java.util.Set;
import org.jspecify.annotations.Nullable;

/** Says for a person why TLS did not come about. */
final class TlsReasons {
    private TlsReasons() {}

    static String of(Throwable cause, String host, String where) {
        if (find(cause, CertificateExpiredException.class) != null) {
            return "the certificate of " + where + " has expired (" + detail(cause, CertificateExpiredException.class)
                    + "): it must be renewed";
        }
        if (find(cause, CertificateNotYetValidException.class) != null) {
            return "the certificate of " + where + " is not valid yet ("
                    + detail(cause, CertificateNotYetValidException.class) + "): is this machine's clock right?";
        }
        if (find(cause, CertPathBuilderException.class) != null) {
            return "nobody that this machine trusts has signed the certificate of " + where
                    + ": name its authority with trust: FILE.pem";
        }
        CertificateException other = find(cause, CertificateException.class);
        if (other != null && String.valueOf(other.getMessage()).matches("(?s)No (subject|name).*")) {
            return "the certificate of " + where + " is for another host than " + host + " ("
                    + Render.line(String.valueOf(other.getMessage())) + ")";
        }
        if (cause instanceof NotSslRecordException) {
            return where + " does not speak TLS";
        }
        if (cause instanceof SslHandshakeTimeoutException) {
            return where + " does not answer in TLS";
        }
        return "no TLS with " + where + " (" + Render.line(String.valueOf(cause.getMessage())) + ")";
    }

    private static String detail(Throwable cause, Class<? extends Throwable> kind) {
        Throwable found = find(cause, kind);
        return found == null ? "" : Render.line(String.valueOf(found.getMessage()));
    }

    private static <T extends Throwable> @Nullable T find(Throwable cause, Class<T> kind) {
        Set<Throwable> seen = new HashSet<>();
        for (Throwable one = cause; one != null && seen.add(one); one = one.getCause()) {
            if (kind.isInstance(one)) {
                return kind.cast(one);
            }
        }
        return null;
    }
}
