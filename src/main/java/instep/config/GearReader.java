package instep.config;

import instep.config.Node.Entry;
import instep.gear.GearSettings;
import instep.gear.GearSettings.LineEnd;
import instep.gear.Listening;
import instep.machine.Place;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.stream.Stream;
import org.jspecify.annotations.Nullable;

/** Reads {@code gear}: what is commanded, and how it is reached. */
final class GearReader {
    static final long STALE_AFTER = 300_000_000L;
    static final long WITHIN = 1_000_000_000L;

    static final List<String> KEYS = Stream.concat(
                    Stream.of("tcp", "osc", "http", "line-end", "headers", "within", "stale-after"),
                    ListeningReader.KEYS.stream())
            .toList();
    static final Map<String, LineEnd> LINE_ENDS = new LinkedHashMap<>();

    static {
        Arrays.stream(LineEnd.values()).forEach(e -> LINE_ENDS.put(e.word(), e));
    }

    private final Scope scope;
    private final Scalars scalars;
    private final ListeningReader ears;
    private final List<Listening> listening = new ArrayList<>();

    GearReader(Scope scope) {
        this.scope = scope;
        this.scalars = scope.scalars();
        this.ears = new ListeningReader(scope);
    }

    List<GearSettings> read(@Nullable Node section) {
        List<GearSettings> gear = new ArrayList<>();
        if (section != null) {
            List<Entry> entries = Fields.named("gear", section, scalars);
            if (entries.isEmpty()) {
                scope.gear().leaveOpen();
            }
            for (Entry entry : entries) {
                scope.gear().declare(entry.name(), entry.place());
                if (entry.name().equals(MessageReader.WAIT)) {
                    scalars.faults().add(entry.place(), "gear cannot be called wait, which is a step of a message");
                }
                read(entry).ifPresent(gear::add);
            }
        }
        return gear;
    }

    /** How each is listened to, in the same order. */
    List<Listening> listening() {
        return List.copyOf(listening);
    }

    private Optional<GearSettings> read(Entry entry) {
        String what = "gear " + Words.quote(entry.name());
        Fields fields = Fields.of(entry.place(), what, entry.value(), KEYS, scalars);
        Optional<Transport> transport = transport(fields, what);
        transport.ifPresent(t -> scope.transports().put(entry.name(), t));
        transport.ifPresent(t -> listening.add(ears.read(entry.name(), t, fields)));
        return transport.map(t -> read(entry.name(), t, fields));
    }

    private Optional<Transport> transport(Fields fields, String what) {
        List<Transport> given = Arrays.stream(Transport.values())
                .filter(t -> fields.has(t.word()))
                .toList();
        if (given.isEmpty() && !fields.isBroken()) {
            scalars.faults().add(fields.place(), what + " has no address; expected tcp, osc or http");
        }
        if (given.size() > 1) {
            Place second = fields.placeOf(given.get(1).word());
            scalars.faults().add(second, what + " is reached in two ways; expected only one of tcp, osc or http");
        }
        return given.size() == 1 ? Optional.of(given.get(0)) : Optional.empty();
    }

    private GearSettings read(String name, Transport transport, Fields fields) {
        long staleAfter = fields.nanos("stale-after", STALE_AFTER);
        if (transport != Transport.TCP) {
            fields.refuse("line-end", "only tcp gear has lines");
        }
        if (transport != Transport.HTTP) {
            fields.refuse("headers", "only http gear has headers");
            fields.refuse("within", "only http gear answers");
        }
        Node where = fields.get(transport.word());
        if (where == null) {
            throw new IllegalStateException("no address for " + name);
        }
        switch (transport) {
            case TCP -> {
                Address at = Address.hostAndPort(where, scalars);
                LineEnd lineEnd = fields.word("line-end", LINE_ENDS, LineEnd.CRLF);
                return new GearSettings.Tcp(name, at.host(), at.port(), lineEnd, staleAfter);
            }
            case OSC -> {
                Address at = Address.udp(where, scalars);
                return new GearSettings.Osc(name, at.host(), at.port(), staleAfter);
            }
            case HTTP -> {
                return http(name, Address.url(where, scalars), fields, staleAfter);
            }
        }
        throw new IllegalStateException("no settings for " + transport);
    }

    private GearSettings http(String name, Address at, Fields fields, long staleAfter) {
        Map<String, String> headers = new LinkedHashMap<>();
        HttpReader.headers(fields.get("headers"), scalars)
                .forEach((header, value) -> headers.put(header, value.toString()));
        long within = fields.nanos("within", WITHIN);
        return new GearSettings.Http(name, at.host(), at.port(), at.path(), headers, within, staleAfter);
    }
}
