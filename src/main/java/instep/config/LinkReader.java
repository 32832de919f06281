package instep.config;

import static instep.config.Transport.HTTP;
import static instep.config.Transport.OSC;
import static instep.config.Transport.SERIAL;
import static instep.config.Transport.TCP;
import static instep.config.Transport.TLS;
import static instep.config.Transport.UDP;
import static instep.config.Transport.WS;

import instep.gear.Access;
import instep.gear.Framing;
import instep.gear.GearSettings;
import instep.gear.GearSettings.LineEnd;
import instep.gear.GearSettings.OscCarrier;
import instep.gear.Login;
import instep.gear.Secret;
import instep.gear.SerialLine;
import instep.gear.SerialLine.Parity;
import instep.gear.Tls;
import java.nio.file.Path;
import java.util.Arrays;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.TreeSet;
import java.util.regex.Pattern;
import org.jspecify.annotations.Nullable;

/** Reads how one gear is reached, by the transport that it speaks; keys of other transports are refused. */
final class LinkReader {
    static final long WITHIN = 1_000_000_000L;
    static final List<String> BASIC = List.of("user", "secret");
    static final List<String> BEARER = List.of("secret");
    static final long PING_EVERY = 10_000_000_000L;

    /** Folder beside the configuration that holds secrets which the service manager does not hand over. */
    private static final String SECRETS = "secrets";

    static final Map<String, LineEnd> LINE_ENDS = new LinkedHashMap<>();
    static final Map<String, Integer> PREFIXES = words(1, 2, 4);
    static final Map<String, OscCarrier> FRAMINGS = new LinkedHashMap<>();
    static final Map<String, Integer> BAUDS =
            words(1_200, 2_400, 4_800, 9_600, 19_200, 38_400, 57_600, 115_200, 230_400, 460_800, 921_600);
    static final Map<String, Integer> DATA_BITS = words(7, 8);
    static final Map<String, Integer> STOP_BITS = words(1, 2);
    static final Map<String, Parity> PARITIES = new LinkedHashMap<>();
    private static final Pattern SECRET = Pattern.compile("[A-Za-z0-9_][A-Za-z0-9_.-]*");

    static {
        Arrays.stream(LineEnd.values()).forEach(e -> LINE_ENDS.put(e.word(), e));
        FRAMINGS.put("length", OscCarrier.TCP_LENGTH);
        FRAMINGS.put("slip", OscCarrier.TCP_SLIP);
        PARITIES.put("none", Parity.NONE);
        PARITIES.put("even", Parity.EVEN);
        PARITIES.put("odd", Parity.ODD);
    }

    /** A key besides the address and {@code stale-after}, and for whom it is. */
    private record Extra(String key, String whose, Set<Transport> transports) {
        static Extra of(String key, String whose, Transport... transports) {
            return new Extra(key, whose, Set.of(transports));
        }
    }

    private static final List<Extra> EXTRAS = List.of(
            Extra.of("line-end", "gear that is told text has lines", TCP, TLS, UDP, SERIAL),
            Extra.of("length-prefix", "tcp, tls and serial gear has it", TCP, TLS, SERIAL),
            Extra.of("framing", "osc gear over tcp has it", OSC),
            Extra.of("trust", "gear behind tls, https or wss has a certificate", TLS, OSC, HTTP, WS),
            Extra.of("headers", "http and ws gear has headers", HTTP, WS),
            Extra.of("basic", "http and ws gear asks who we are", HTTP, WS),
            Extra.of("bearer", "http and ws gear asks who we are", HTTP, WS),
            Extra.of("follow", "http gear redirects", HTTP),
            Extra.of("within", "http gear answers", HTTP),
            Extra.of("ping-every", "ws gear is pinged", WS),
            Extra.of("baud", "a serial line has it", SERIAL),
            Extra.of("data-bits", "a serial line has them", SERIAL),
            Extra.of("parity", "a serial line has it", SERIAL),
            Extra.of("stop-bits", "a serial line has them", SERIAL));

    private final String name;
    private final Fields fields;
    private final Scalars scalars;
    private final LedReader leds;

    LinkReader(String name, Fields fields, Scalars scalars, LedReader leds) {
        this.name = name;
        this.fields = fields;
        this.scalars = scalars;
        this.leds = leds;
    }

    private static Map<String, Integer> words(int... numbers) {
        Map<String, Integer> words = new LinkedHashMap<>();
        Arrays.stream(numbers).forEach(n -> words.put(Integer.toString(n), n));
        return words;
    }

    GearSettings read(Transport transport) {
        for (Extra extra : EXTRAS) {
            if (!extra.transports().contains(transport)) {
                fields.refuse(extra.key(), "only " + extra.whose());
            }
        }
        long staleAfter = fields.nanos("stale-after", GearReader.STALE_AFTER);
        Node where = fields.get(transport.word());
        if (where == null) {
            throw new IllegalStateException("no address for " + name);
        }
        return switch (transport) {
            case TCP, TLS -> tcp(where, transport, staleAfter);
            case UDP -> {
                Address at = Address.hostAndPort(where, scalars);
                LineEnd end = fields.word("line-end", LINE_ENDS, LineEnd.NONE);
                yield new GearSettings.Udp(name, at.host(), at.port(), end, staleAfter);
            }
            case OSC -> osc(where, staleAfter);
            case HTTP -> http(Address.web(where, scalars), staleAfter);
            case WS -> socket(Address.socket(where, scalars), staleAfter);
            case LED -> leds.read(name, where, staleAfter);
            case SERIAL ->
                new GearSettings.Serial(
                        name, Paths.read(where, Path.of("/dev"), scalars), line(), framing(), staleAfter);
            case SOUND ->
                new GearSettings.Sound(
                        name, scalars.text(where, "the name of an audio output, or default", "default"), staleAfter);
        };
    }

    private GearSettings tcp(Node where, Transport transport, long staleAfter) {
        Address at = Address.hostAndPort(where, scalars);
        Optional<Tls> tls = transport == TLS ? Optional.of(new Tls(trust())) : Optional.empty();
        return new GearSettings.Tcp(name, at.host(), at.port(), framing(), tls, staleAfter);
    }

    private GearSettings osc(Node where, long staleAfter) {
        Address at = Address.carried(where, scalars);
        boolean stream = at.scheme().equals("tcp") || at.isEncrypted();
        if (!stream) {
            fields.refuse("framing", "a datagram is a frame; only osc gear over tcp has it");
        }
        Optional<Tls> tls = tls(at);
        OscCarrier over = fields.word("framing", FRAMINGS, OscCarrier.TCP_LENGTH);
        return new GearSettings.Osc(name, at.host(), at.port(), stream ? over : OscCarrier.UDP, tls, staleAfter);
    }

    private GearSettings http(Address at, long staleAfter) {
        long within = fields.nanos("within", WITHIN);
        return new GearSettings.Http(name, at.host(), at.port(), at.path(), headers(), access(at), within, staleAfter);
    }

    private GearSettings socket(Address at, long staleAfter) {
        long ping = fields.nanos("ping-every", PING_EVERY);
        if (ping < 1_000_000_000L) {
            scalars.faults().add(fields.placeOf("ping-every"), "expected at least 1s between two pings");
        }
        return new GearSettings.WebSocket(
                name, at.host(), at.port(), at.path(), headers(), access(at), ping, staleAfter);
    }

    private Map<String, String> headers() {
        Map<String, String> headers = new LinkedHashMap<>();
        scalars.telling(() -> HttpReader.headers(fields.get("headers"), scalars))
                .forEach((header, value) -> headers.put(header, value.toString()));
        Set<String> lower = new TreeSet<>(String.CASE_INSENSITIVE_ORDER);
        lower.addAll(headers.keySet());
        if (lower.contains("authorization")) {
            scalars.faults()
                    .add(
                            fields.placeOf("headers"),
                            "a secret has no place in this file, and neither has the header Authorization; "
                                    + "expected basic: { user: …, secret: … } or bearer: { secret: … }");
        }
        return headers;
    }

    private Framing framing() {
        if (fields.has("length-prefix")) {
            fields.refuse("line-end", "length-prefix is given, and a message ends by its length or by a line end");
            return new Framing.Length(fields.word("length-prefix", PREFIXES, 4));
        }
        return fields.word("line-end", LINE_ENDS, LineEnd.CRLF);
    }

    private Access access(Address at) {
        return new Access(tls(at), login(), fields.flag("follow", false));
    }

    private Optional<Tls> tls(Address at) {
        if (!at.isEncrypted()) {
            fields.refuse("trust", "only gear behind tls, https or wss has a certificate");
        }
        return at.isEncrypted() ? Optional.of(new Tls(trust())) : Optional.empty();
    }

    private Optional<Path> trust() {
        Node file = fields.get("trust");
        return file == null ? Optional.empty() : Optional.of(Paths.read(file, scalars));
    }

    private Optional<Login> login() {
        Node basic = fields.get("basic");
        Node bearer = fields.get("bearer");
        if (basic != null) {
            fields.refuse("bearer", "basic is given, and there is one login");
            Fields login = Fields.of(fields.placeOf("basic"), "basic", basic, BASIC, scalars);
            login.require("user", "expected the name of a user");
            String user = login.text("user", "the name of a user", "");
            if (user.indexOf(':') >= 0 || user.chars().anyMatch(Character::isISOControl)) {
                scalars.faults().add(login.placeOf("user"), "expected the name of a user without a colon"); // RFC 7617
            }
            return secret(login, scalars).map(s -> new Login.Basic(user, s));
        }
        if (bearer == null) {
            return Optional.empty();
        }
        Fields login = Fields.of(fields.placeOf("bearer"), "bearer", bearer, BEARER, scalars);
        return secret(login, scalars).map(Login.Bearer::new);
    }

    /** The secret that a map names. */
    static Optional<Secret> secret(Fields login, Scalars scalars) {
        @Nullable Node node = login.require("secret", "expected the name of a secret");
        if (node == null) {
            return Optional.empty();
        }
        String secret = scalars.text(node, "the name of a secret", "x");
        if (!SECRET.matcher(secret).matches()) {
            // Whoever has written the secret itself here must not find it in a log.
            scalars.faults().add(node.place(), "expected the name of a secret: letters, digits, - . and _");
        }
        return Optional.of(secret(secret, node));
    }

    /** The secret of that name, as a file that stands where the node does keeps it. */
    static Secret secret(String name, Node node) {
        return new Secret(name, Paths.folder(node).resolve(SECRETS));
    }

    private SerialLine line() {
        SerialLine usual = SerialLine.USUAL;
        return new SerialLine(
                fields.word("baud", BAUDS, usual.baud()),
                fields.word("data-bits", DATA_BITS, usual.dataBits()),
                fields.word("parity", PARITIES, usual.parity()),
                fields.word("stop-bits", STOP_BITS, usual.stopBits()));
    }
}
