package instep.config;

import instep.config.Node.Scalar;
import instep.config.Node.Sequence;
import instep.gear.Secret;
import instep.gear.UnfitException;
import instep.input.NetPort;
import instep.input.NetPort.Carrier;
import instep.input.net.Prefix;
import java.io.IOException;
import java.net.InetSocketAddress;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import org.jspecify.annotations.Nullable;

/** Reads {@code listen}: the port to which the contacts of a pedal unit come over the network, and who may send. */
final class NetReader {
    static final List<String> KEYS = List.of("osc", "tcp", "http", "from", "silent", "token");
    static final List<String> TOKEN = List.of("secret");

    private static final List<String> CARRIERS = KEYS.subList(0, 3);
    private static final Pattern PORT = Pattern.compile("[0-9]{1,5}");
    private static final Pattern ADDRESS = Pattern.compile("(?:\\[([0-9a-fA-F:.]+)]|([0-9.]+|localhost)):([0-9]{1,5})");
    private static final String LOOPBACK = "127.0.0.1";
    private static final String FORM = "a port, such as 9100, or address:port, such as 192.0.2.5:9100, from 1 to 65535";
    private static final long SHORTEST_SILENCE = 100_000_000L;

    private final Fields fields;
    private final Scalars scalars;

    private NetReader(Fields fields, Scalars scalars) {
        this.fields = fields;
        this.scalars = scalars;
    }

    /** Empty if it cannot be said what is meant, which has been noted. */
    static Optional<NetPort> read(Node node, Scalars scalars) {
        return new NetReader(Fields.of(node.place(), "listen", node, KEYS, scalars), scalars).port();
    }

    private Optional<NetPort> port() {
        List<String> given = CARRIERS.stream().filter(fields::has).toList();
        if (given.isEmpty()) {
            if (!fields.isBroken()) {
                scalars.faults().add(fields.place(), "listen has no port; expected " + Words.either(CARRIERS));
            }
            return Optional.empty();
        }
        String carrier = given.get(0);
        given.stream()
                .skip(1)
                .forEach(other -> fields.refuse(other, carrier + " is given, and a pedal unit has one port"));
        if (!carrier.equals("http")) {
            fields.refuse("token", "only a request over http bears one");
        }
        Optional<InetSocketAddress> address = address(carrier);
        List<Prefix> from = from(fields.get("from"));
        NetPort.Token token = token();
        address.ifPresent(at -> guard(carrier, at));
        InetSocketAddress at = address.orElse(NetPort.NOWHERE.address());
        return Optional.of(new NetPort(carrier(carrier), at, from, silence(), token));
    }

    private static Carrier carrier(String word) {
        return switch (word) {
            case "osc" -> Carrier.OSC;
            case "tcp" -> Carrier.TCP;
            default -> Carrier.HTTP;
        };
    }

    private Optional<InetSocketAddress> address(String carrier) {
        Node node = fields.get(carrier);
        String text = node == null ? "" : scalars.text(node, FORM, "");
        if (node == null || text.isEmpty()) {
            return Optional.empty();
        }
        Matcher matcher = ADDRESS.matcher(PORT.matcher(text).matches() ? LOOPBACK + ":" + text : text);
        if (matcher.matches()) {
            String v6 = matcher.group(1);
            String host = v6 == null ? matcher.group(2) : v6;
            Optional<Prefix> at = Prefix.parse(host.equals("localhost") ? LOOPBACK : host);
            int port = Integer.parseInt(matcher.group(3));
            if (at.isPresent() && port >= 1 && port <= 65_535) {
                return Optional.of(new InetSocketAddress(at.get().address(), port));
            }
        }
        scalars.expected(node, FORM);
        return Optional.empty();
    }

    /** Whoever opens a port to the network says to whom. */
    private void guard(String carrier, InetSocketAddress at) {
        if (!at.getAddress().isLoopbackAddress() && !fields.has("from") && !fields.has("token")) {
            scalars.faults()
                    .add(
                            fields.placeOf(carrier),
                            "everybody on the network could press these contacts; expected from: with the addresses of those who may"
                                    + (carrier.equals("http") ? ", or a token" : ""));
        }
    }

    private List<Prefix> from(@Nullable Node node) {
        List<Prefix> from = new ArrayList<>();
        if (node == null) {
            return from;
        }
        List<? extends Node> items = node instanceof Sequence sequence ? sequence.items() : List.of(node);
        for (Node item : items) {
            String form = "an address or the beginning of addresses, such as 192.0.2.7 or 192.0.2.0/24";
            String text = item instanceof Scalar ? scalars.text(item, form, "") : "";
            Prefix.parse(text).ifPresentOrElse(from::add, () -> scalars.expected(item, form));
        }
        if (items.isEmpty()) {
            scalars.expected(node, "the addresses of those who may send, such as [192.0.2.7, 192.0.2.0/24]");
        }
        return from;
    }

    private long silence() {
        long silence = fields.nanos("silent", 0);
        Node node = fields.get("silent");
        if (node != null && silence < SHORTEST_SILENCE) {
            scalars.expected(node, "at least 100ms");
        }
        return silence;
    }

    private NetPort.@Nullable Token token() {
        Node node = fields.get("token");
        if (node == null) {
            return null;
        }
        Fields token = Fields.of(node.place(), "token", node, TOKEN, scalars);
        return LinkReader.secret(token, scalars).map(NetReader::token).orElse(null);
    }

    private static NetPort.Token token(Secret secret) {
        return () -> {
            try {
                return secret.read();
            } catch (UnfitException e) {
                throw new IOException(e.getMessage(), e);
            }
        };
    }
}
