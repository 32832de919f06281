package instep.config;

import java.net.URI;
import java.net.URISyntaxException;
import java.util.regex.Matcher;
import java.util.regex.Pattern;

/**
 * Where gear is reached.
 *
 * @param scheme the word before the rest, such as {@code udp} or {@code https}; empty if there is none
 * @param path what follows the port
 */
record Address(String scheme, String host, int port, String path) {
    /** What is read on with after a fault. */
    static final Address FALLBACK = new Address("", "127.0.0.1", 1, "");

    private static final String HOST = "(\\[[0-9a-fA-F:.]+]|[\\p{L}\\p{N}_.-]+)";
    private static final Pattern HOST_PORT = Pattern.compile(HOST + ":([0-9]{1,9})");
    private static final Pattern CARRIED = Pattern.compile("(udp|tcp|tls) +(\\S.*)");
    private static final Pattern WEB = Pattern.compile("(https?)://" + HOST + "(?::([0-9]{1,9}))?(/[^\\s?#]*)?");
    private static final Pattern SOCKET = Pattern.compile("(wss?)://" + HOST + "(?::([0-9]{1,9}))?(/[^\\s#]*)?");

    /** Whether the scheme is one of those that are encrypted. */
    boolean isEncrypted() {
        return scheme.equals("https") || scheme.equals("wss") || scheme.equals("tls");
    }

    /** Reads {@code host:port}. */
    static Address hostAndPort(Node node, Scalars scalars) {
        String form = "host:port, such as 192.0.2.10:9701";
        return hostAndPort(node, "", scalars.text(node, "host:port", ""), form, scalars);
    }

    /** Reads {@code udp host:port}, or with tcp or tls. */
    static Address carried(Node node, Scalars scalars) {
        String form = "udp host:port, tcp host:port or tls host:port, such as udp 192.0.2.12:9703";
        String text = scalars.text(node, form, "");
        Matcher carried = CARRIED.matcher(text);
        if (!carried.matches()) {
            if (!text.isEmpty()) {
                scalars.expected(node, form);
            }
            return FALLBACK;
        }
        return hostAndPort(node, carried.group(1), carried.group(2), form, scalars);
    }

    /** Reads {@code http://host:port/base}, or with https; without a port it is 80 or 443. The path has no closing slash. */
    static Address web(Node node, Scalars scalars) {
        Address address = url(node, WEB, "http://host:port, such as http://192.0.2.11:9702", scalars);
        return new Address(address.scheme, address.host, address.port, address.path.replaceFirst("/+$", ""));
    }

    /** Reads {@code ws://host:port/path}, or with wss; without a port it is 80 or 443, without a path it is /. */
    static Address socket(Node node, Scalars scalars) {
        String form = "ws://host:port/path, such as ws://192.0.2.13:9704/control";
        Address address = url(node, SOCKET, form, scalars);
        String path = address.path.isEmpty() ? "/" : address.path;
        try {
            return new Address(address.scheme, address.host, address.port, new URI(path).toASCIIString());
        } catch (URISyntaxException e) {
            scalars.expected(node, form);
            return FALLBACK;
        }
    }

    private static Address url(Node node, Pattern pattern, String form, Scalars scalars) {
        String text = scalars.text(node, form, "");
        Matcher url = pattern.matcher(text);
        if (!url.matches()) {
            if (!text.isEmpty()) {
                scalars.expected(node, form);
            }
            return FALLBACK;
        }
        boolean encrypted = url.group(1).endsWith("s") && !url.group(1).equals("ws");
        String port = url.group(3) == null ? (encrypted ? "443" : "80") : url.group(3);
        String path = url.group(4) == null ? "" : url.group(4);
        return new Address(url.group(1), bare(url.group(2)), port(node, port, scalars), path);
    }

    private static Address hostAndPort(Node node, String scheme, String text, String form, Scalars scalars) {
        Matcher address = HOST_PORT.matcher(text);
        if (!address.matches()) {
            if (!text.isEmpty()) {
                scalars.expected(node, form);
            }
            return FALLBACK;
        }
        return new Address(scheme, bare(address.group(1)), port(node, address.group(2), scalars), "");
    }

    private static int port(Node node, String digits, Scalars scalars) {
        int port = Integer.parseInt(digits);
        if (port < 1 || port > 65_535) {
            scalars.faults().add(node.place(), "expected a port from 1 to 65535, found " + port);
            return FALLBACK.port;
        }
        return port;
    }

    private static String bare(String host) {
        return host.startsWith("[") ? host.substring(1, host.length() - 1) : host;
    }
}
