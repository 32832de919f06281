package instep.input;

import instep.input.net.Prefix;
import java.io.IOException;
import java.net.InetAddress;
import java.net.InetSocketAddress;
import java.util.List;
import org.jspecify.annotations.Nullable;

/**
 * A port of this machine at which contacts are listened for. Immutable.
 *
 * @param from who may send; empty: whoever can reach the address
 * @param silentNanos so long after it was last said to be closed a contact is opened; 0: never
 * @param token what a request must bear; null: nothing. HTTP only
 */
public record NetPort(
        Carrier carrier,
        InetSocketAddress address,
        List<Prefix> from,
        long silentNanos,
        @Nullable Token token) {
    /** Stands for a port that is not known. */
    public static final NetPort NOWHERE =
            new NetPort(Carrier.OSC, new InetSocketAddress(InetAddress.getLoopbackAddress(), 0), List.of(), 0, null);

    public NetPort {
        from = List.copyOf(from);
    }

    /** What contacts come over. */
    public enum Carrier {
        /** OSC 1.0 packets in UDP datagrams. */
        OSC("OSC over UDP"),
        /** Lines over TCP. */
        TCP("lines over TCP"),
        /** POST requests. */
        HTTP("HTTP");

        private final String words;

        Carrier(String words) {
            this.words = words;
        }

        String words() {
            return words;
        }
    }

    /** A text that is known to few, read where it is kept. */
    @FunctionalInterface
    public interface Token {
        /** The text; blocks on a file. Throws with a sentence for a person. */
        String read() throws IOException;
    }

    /** The transport and the address: what no two ports have in common. */
    public String socket() {
        return (carrier == Carrier.OSC ? "udp " : "tcp ") + where();
    }

    boolean admits(InetAddress sender) {
        return from.isEmpty() || from.stream().anyMatch(prefix -> prefix.contains(sender));
    }

    /** {@code host:port}, with an IPv6 address in brackets (RFC 3986, section 3.2.2). */
    String where() {
        String host = address.getAddress().getHostAddress();
        return (host.indexOf(':') >= 0 ? "[" + host + "]" : host) + ":" + address.getPort();
    }
}
