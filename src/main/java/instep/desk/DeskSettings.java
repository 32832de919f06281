package instep.desk;

import java.io.IOException;
import java.net.InetSocketAddress;
import java.util.List;
import org.jspecify.annotations.Nullable;

/**
 * Where the desk page is shown, and to whom. Immutable.
 *
 * @param names by which the page may be asked for, besides the address itself and {@code localhost}; in lower case
 * @param token what a visitor must know; null: nothing
 */
public record DeskSettings(
        InetSocketAddress address, List<String> names, @Nullable Token token) {
    public DeskSettings {
        names = List.copyOf(names);
    }

    /** A text that is known to few, read where it is kept. */
    @FunctionalInterface
    public interface Token {
        /** The text; blocks on a file. Throws with a sentence for a person. */
        String read() throws IOException;
    }

    /** {@code host:port}, with an IPv6 address in brackets (RFC 3986, section 3.2.2). */
    String where() {
        return where(address);
    }

    static String where(InetSocketAddress address) {
        String host = address.getAddress().getHostAddress();
        return (host.indexOf(':') >= 0 ? "[" + host + "]" : host) + ":" + address.getPort();
    }
}
