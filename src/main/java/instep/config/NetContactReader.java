package instep.config;

import instep.config.Node.Entry;
import instep.config.Node.Mapping;
import instep.config.Node.Scalar;
import instep.gesture.Moves;
import instep.gesture.Threshold;
import instep.gesture.Timing;
import instep.input.NetContact;
import instep.input.NetPort.Carrier;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.stream.Stream;
import org.jspecify.annotations.Nullable;

/** Reads the contacts of one port: what is said of each of them. */
final class NetContactReader {
    private static final List<String> OF_OSC = Stream.concat(
                    Stream.of("osc"), Stream.concat(ThresholdReader.KEYS.stream(), Stream.of("moves")))
            .toList();
    private static final List<String> OF_LINES = List.of("closed", "open");
    static final List<String> KEYS =
            Stream.of(OF_OSC, OF_LINES, TimingReader.KEYS).flatMap(List::stream).toList();

    private final Carrier carrier;
    private final Scalars scalars;
    private final MovesReader moves;
    private final Timing timing;
    private final List<NetContact> contacts = new ArrayList<>();
    private final Map<String, String> taken = new HashMap<>();

    /**
     * For one port.
     *
     * @param timing what holds where a contact says nothing, but for its debounce: a message does not bounce
     */
    NetContactReader(Carrier carrier, Scalars scalars, MessageReader messages, Timing timing) {
        this.carrier = carrier;
        this.scalars = scalars;
        this.timing = new Timing(0, timing.hold(), timing.doubleTap(), timing.liftGrace());
        moves = new MovesReader(scalars, messages);
    }

    List<NetContact> contacts() {
        return contacts;
    }

    /** Reads a contact that bears the number; gives its own thresholds of time. */
    Timing read(int number, Entry entry) {
        String what = "contact " + Words.quote(entry.name());
        Fields fields = Fields.of(entry.place(), what, asMap(entry), KEYS, scalars);
        if (carrier != Carrier.OSC) {
            OF_OSC.forEach(key -> fields.refuse(key, "it belongs to a contact that comes as osc"));
        }
        if (carrier != Carrier.TCP) {
            OF_LINES.forEach(key -> fields.refuse(key, "it belongs to a contact that comes in lines over tcp"));
        }
        contacts.add(
                switch (carrier) {
                    case OSC -> osc(number, fields, entry);
                    case TCP -> lines(number, fields, entry);
                    case HTTP -> NetContact.named(number, entry.name());
                });
        return TimingReader.read(fields, timing, scalars);
    }

    private NetContact osc(int number, Fields fields, Entry entry) {
        String form = "an OSC address without wildcards, such as /foot/left";
        String address = fields.text("osc", form, "/" + entry.name());
        Node node = fields.get("osc");
        boolean fits = address.startsWith("/")
                && address.length() > 1
                && address.chars().noneMatch(c -> c <= ' ' || c > '~' || "#*,?[]{}".indexOf(c) >= 0);
        if (!fits && node != null) {
            scalars.expected(node, form);
        } else if (!fits) {
            scalars.faults()
                    .add(entry.place(), Words.quote(entry.name()) + " cannot be an OSC address; expected " + form);
        }
        take(address, entry);
        boolean analog = ThresholdReader.KEYS.stream().anyMatch(fields::has);
        @Nullable Threshold threshold = analog ? ThresholdReader.read(fields, scalars) : null;
        @Nullable Moves sent = moves.read(fields.get("moves"));
        return new NetContact(number, address, null, null, threshold, sent);
    }

    private NetContact lines(int number, Fields fields, Entry entry) {
        String name = entry.name();
        if (!fields.has("closed") && !fields.has("open")) {
            Stream.of(name + " down", name + " up", name).forEach(line -> take(line, entry));
            return new NetContact(number, name + " down", name + " up", name, null, null);
        }
        fields.require("closed", "expected the line that closes it");
        String closed = line(fields, "closed", name);
        take(closed, entry);
        String open = fields.has("open") ? line(fields, "open", name + " up") : null;
        if (open != null) {
            take(open, entry);
        }
        return new NetContact(number, closed, open, null, null, null);
    }

    private String line(Fields fields, String key, String otherwise) {
        String form = "a line of 1 to 256 characters, such as \"" + otherwise + "\"";
        String line = fields.text(key, form, otherwise);
        Node node = fields.get(key);
        if (node != null
                && (line.isBlank()
                        || line.length() > 256
                        || !line.equals(line.strip())
                        || line.chars().anyMatch(Character::isISOControl))) {
            scalars.expected(node, form);
        }
        return line;
    }

    private void take(String said, Entry entry) {
        String before = taken.putIfAbsent(said, entry.name());
        if (before != null) {
            scalars.faults()
                    .add(
                            entry.place(),
                            Words.quote(said) + " already means the contact " + Words.quote(before)
                                    + "; expected something else for " + Words.quote(entry.name()));
        }
    }

    /** A lone word is its address; nothing is what its name says. */
    private Node asMap(Entry entry) {
        if (!(entry.value() instanceof Scalar scalar)) {
            return entry.value();
        } else if (scalar.isNull()) {
            return new Mapping(scalar.place(), List.of(), false);
        }
        String key = carrier == Carrier.OSC ? "osc" : "closed";
        return new Mapping(scalar.place(), List.of(new Entry(new Scalar(scalar.place(), key, true), scalar)), false);
    }
}
