package instep.config;

import instep.config.Node.Entry;
import instep.config.Node.Sequence;
import instep.desk.DeskSettings;
import instep.gear.Secret;
import instep.gear.UnfitException;
import instep.input.net.Prefix;
import java.io.IOException;
import java.net.InetAddress;
import java.net.InetSocketAddress;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.regex.Pattern;
import org.jspecify.annotations.Nullable;

/** Reads {@code desk}: whether the desk page is shown, where, and to whom. */
final class DeskReader {
    static final List<String> KEYS = List.of("port", "address", "names", "token");
    static final List<String> TOKEN = List.of("secret");

    private static final String LOOPBACK = "127.0.0.1";
    private static final int HIGHEST_PORT = 65_535;
    /** RFC 1123, section 2.1. */
    private static final Pattern NAME = Pattern.compile("[a-z0-9]([a-z0-9-]*[a-z0-9])?(\\.[a-z0-9]([a-z0-9-]*[a-z0-9])?)*");

    private final Fields fields;
    private final Scalars scalars;

    private DeskReader(Fields fields, Scalars scalars) {
        this.fields = fields;
        this.scalars = scalars;
    }

    /** Null: nothing was said, and no page is shown. */
    static @Nullable DeskSettings read(@Nullable Entry section, Scalars scalars) {
        if (section == null) {
            return null;
        }
        Fields fields = Fields.of(section.place(), "desk", section.value(), KEYS, scalars);
        return new DeskReader(fields, scalars).settings();
    }

    private DeskSettings settings() {
        fields.require("port", "expected the port of the page, such as 9780");
        int port = fields.integer("port", 1, HIGHEST_PORT, 1);
        InetAddress address = address();
        DeskSettings.Token token = token();
        if (!address.isLoopbackAddress() && !fields.has("token") && !fields.isBroken()) {
            scalars.faults()
                    .add(
                            fields.placeOf("address"),
                            "everybody on the network could look at the desk; expected a token beside this address,"
                                    + " such as token: { secret: desk }");
        }
        return new DeskSettings(new InetSocketAddress(address, port), names(), token);
    }

    private InetAddress address() {
        String form = "an address of this machine, such as 192.0.2.5";
        String text = fields.text("address", form, LOOPBACK);
        Optional<InetAddress> address = Prefix.parse(text).filter(Prefix::isWhole).map(Prefix::address);
        Node node = fields.get("address");
        if (address.isEmpty() && node != null) {
            scalars.expected(node, form);
        }
        return address.orElse(InetAddress.getLoopbackAddress());
    }

    private List<String> names() {
        Node section = fields.get("names");
        List<String> names = new ArrayList<>();
        if (section == null) {
            return names;
        }
        List<? extends Node> items = section instanceof Sequence sequence ? sequence.items() : List.of(section);
        for (Node item : items) {
            String form = "a name of this machine, such as desk.example";
            String name = scalars.text(item, form, "").toLowerCase(Locale.ROOT);
            if (NAME.matcher(name).matches()) {
                names.add(name);
            } else if (!name.isEmpty()) {
                scalars.expected(item, form);
            }
        }
        return names;
    }

    private DeskSettings.@Nullable Token token() {
        Node node = fields.get("token");
        if (node == null) {
            return null;
        }
        Fields token = Fields.of(node.place(), "token", node, TOKEN, scalars);
        return LinkReader.secret(token, scalars).map(DeskReader::token).orElse(null);
    }

    private static DeskSettings.Token token(Secret secret) {
        return () -> {
            try {
                return secret.read();
            } catch (UnfitException e) {
                throw new IOException(e.getMessage(), e);
            }
        };
    }
}
