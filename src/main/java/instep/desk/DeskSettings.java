package instep.desk;

import java.io.IOException;
import java.net.Inet4Address;
import java.net.InetAddress;
import java.net.InetSocketAddress;
import java.net.NetworkInterface;
import java.net.SocketException;
import java.util.Comparator;
import java.util.List;
import org.jspecify.annotations.Nullable;

/**
 * Where the desk page is shown, and to whom. Immutable.
 *
 * @param names by which the page may be asked for, besides the address itself and {@code localhost}; in lower case
 * @param token what a visitor must know; null: nothing
 */
public record DeskSettings(
        InetSocketAddress address,
        List<String> names,
        @Nullable Token token) {
    public DeskSettings {
        names = List.copyOf(names);
    }

    /** A text that is known to few, read where it is kept. */
    @FunctionalInterface
    public interface Token {
        /** The text; blocks on a file. Throws with a sentence for a person. */
        String read() throws IOException;
    }

    /** Whether it is shown at every address of this machine. */
    public boolean isEverywhere() {
        return address.getAddress().isAnyLocalAddress();
    }

    /** In words. */
    String where() {
        return isEverywhere() ? "port " + address.getPort() + " of every address of this machine" : where(address);
    }

    /** {@code host:port} as a person can type it, with an IPv6 address in brackets (RFC 3986, section 3.2.2); of all addresses one that others can reach, if there is one. */
    static String where(InetSocketAddress address) {
        InetAddress at = address.getAddress();
        String host = (at.isAnyLocalAddress() ? reachable() : at).getHostAddress();
        return (host.indexOf(':') >= 0 ? "[" + host + "]" : host) + ":" + address.getPort();
    }

    private static InetAddress reachable() {
        try {
            return NetworkInterface.networkInterfaces()
                    .flatMap(NetworkInterface::inetAddresses)
                    .filter(at -> !at.isLoopbackAddress() && !at.isLinkLocalAddress())
                    .min(Comparator.comparing(at -> at instanceof Inet4Address ? 0 : 1))
                    .orElse(InetAddress.getLoopbackAddress());
        } catch (SocketException e) {
            return InetAddress.getLoopbackAddress();
        }
    }
}
