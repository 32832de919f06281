package instep.config;

import java.util.regex.Matcher;
import java.util.regex.Pattern;

/**
 * Where gear is reached.
 *
 * @param path what follows the port, without a closing slash
 */
record Address(String host, int port, String path) {
    /** What is read on with after a fault. */
    static final Address FALLBACK = new Address("127.0.0.1", 1, "");

    private static final String HOST = "(\\[[0-9a-fA-F:.]+]|[\\p{L}\\p{N}_.-]+)";
    private static final Pattern HOST_PORT = Pattern.compile(HOST + ":([0-9]{1,9})");
    private static final Pattern UDP = Pattern.compile("udp +(\\S.*)");
    private static final Pattern URL = Pattern.compile("http://" + HOST + "(?::([0-9]{1,9}))?(/[^\\s?#]*)?");

    /** Reads {@code host:port}. */
    static Address hostAndPort(Node node, Scalars scalars) {
        return hostAndPort(node, scalars.text(node, "host:port", ""), "host:port, such as 192.0.2.10:9701", scalars);
    }

    /** Reads {@code udp host:port}. */
    static Address udp(Node node, Scalars scalars) {
        String form = "udp host:port, such as udp 192.0.2.12:9703";
        String text = scalars.text(node, form, "");
        Matcher udp = UDP.matcher(text);
        if (!text.isEmpty() && !udp.matches()) {
            scalars.expected(node, form);
            return FALLBACK;
        }
        return hostAndPort(node, text.isEmpty() ? "" : udp.group(1), form, scalars);
    }

    /** Reads {@code http://host:port/base}; without a port it is 80. */
    static Address url(Node node, Scalars scalars) {
        String form = "http://host:port, such as http://192.0.2.11:9702";
        String text = scalars.text(node, form, "");
        Matcher url = URL.matcher(text);
        if (!url.matches()) {
            if (!text.isEmpty()) {
                scalars.expected(node, text.startsWith("https:") ? form + " (https is not spoken)" : form);
            }
            return FALLBACK;
        }
        String path = url.group(3) == null ? "" : url.group(3).replaceFirst("/+$", "");
        String port = url.group(2) == null ? "80" : url.group(2);
        return new Address(bare(url.group(1)), port(node, port, scalars), path);
    }

    private static Address hostAndPort(Node node, String text, String form, Scalars scalars) {
        Matcher address = HOST_PORT.matcher(text);
        if (!address.matches()) {
            if (!text.isEmpty()) {
                scalars.expected(node, form);
            }
            return FALLBACK;
        }
        return new Address(bare(address.group(1)), port(node, address.group(2), scalars), "");
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
