package instep.config;

import instep.config.Node.Entry;
import instep.config.Node.Mapping;
import instep.config.Node.Scalar;
import instep.config.Node.Sequence;
import instep.gesture.Contact;
import instep.gesture.Timing;
import instep.input.DeviceMatch;
import instep.input.NetPort;
import instep.input.PedalSettings;
import instep.machine.Place;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import org.jspecify.annotations.Nullable;

/** Reads {@code pedals}: the devices, and which of their signals is which contact. */
final class PedalReader {
    static final List<String> KEYS = List.of("match", "grab", "usage-page", "contacts", "performance", "listen");

    private static final String REPORTS_ONLY = "only a device that is read by its raw reports is chosen by it";

    private final Scope scope;
    private final Scalars scalars;
    private final KeyCodes codes;
    private final Timing timing;
    private final MessageReader messages;
    private final List<Contact> contacts = new ArrayList<>();
    private final Map<Claimed, Place> devices = new HashMap<>();
    private final Map<String, Place> ports = new HashMap<>();

    /**
     * Reads pedals.
     *
     * @param timing what holds where a contact says nothing
     * @param messages to which what the contacts' positions send is added
     */
    PedalReader(Scope scope, KeyCodes codes, Timing timing, MessageReader messages) {
        this.scope = scope;
        this.scalars = scope.scalars();
        this.codes = codes;
        this.timing = timing;
        this.messages = messages;
    }

    List<PedalSettings> read(@Nullable Node section) {
        List<PedalSettings> pedals = new ArrayList<>();
        if (section != null) {
            List<Entry> entries = Fields.named("pedal", section, scalars);
            if (entries.isEmpty()) {
                scope.contacts().leaveOpen();
            }
            entries.forEach(e -> pedals.add(pedal(e)));
        }
        return pedals;
    }

    /** The contacts of all pedals so far, in the order of their numbers. */
    List<Contact> contacts() {
        return List.copyOf(contacts);
    }

    private PedalSettings pedal(Entry entry) {
        String what = "pedal " + Words.quote(entry.name());
        if (scope.gear().has(entry.name())) {
            scalars.faults()
                    .add(
                            entry.place(),
                            Words.quote(entry.name())
                                    + " is already the name of gear, and the events of both begin with"
                                    + " it; expected another name");
        }
        if (entry.name().equals(TimecodeSettings.NAME) || entry.name().equals(ConfigReader.JOURNAL)) {
            scalars.faults()
                    .add(entry.place(), "a pedal cannot be called " + entry.name() + ", which has events of its own");
        }
        Fields fields = Fields.of(entry.place(), what, entry.value(), KEYS, scalars);
        Node section = fields.require("contacts", "expected a name for each of its contacts");
        if (section == null || section instanceof Scalar) {
            scope.contacts().leaveOpen();
        }
        Node performance = fields.get("performance");
        if (performance != null) {
            fields.refuse("match", "a performance takes the place of the device");
            fields.refuse("grab", "a performance takes the place of the device");
            fields.refuse("usage-page", "a performance takes the place of the device");
            fields.refuse("listen", "a performance takes the place of the device");
            return performed(entry.name(), performance, section);
        }
        Node listen = fields.get("listen");
        if (listen != null) {
            fields.refuse("match", "the contacts come over the network");
            fields.refuse("grab", "the contacts come over the network");
            fields.refuse("usage-page", "the contacts come over the network");
            NetPort port = NetReader.read(listen, scalars).orElse(NetPort.NOWHERE);
            claim(port, listen.place());
            return network(entry.name(), port, section);
        }
        Node wanted = fields.require(
                "match",
                "expected the device, such as { usb: \"1209:2303\" }, performance: FILE, or listen: { osc: 9100 }");
        DeviceMatch match = wanted == null ? MatchReader.ANY : MatchReader.read(wanted, scalars);
        PedalSettings device = device(entry.name(), match, fields, section);
        if (wanted != null && !match.equals(MatchReader.ANY)) {
            int page = device instanceof PedalSettings.Reports reports ? reports.page() : PedalSettings.ANY_PAGE;
            claim(new Claimed(match, device.getClass(), page), wanted.place());
        }
        return device;
    }

    private void claim(Claimed device, Place place) {
        Place before = devices.putIfAbsent(device, place);
        if (before != null) {
            scalars.faults()
                    .add(
                            place,
                            "this is the device that is already matched " + Words.at(before, place)
                                    + "; expected another, or which: 2");
        }
    }

    /** A device that sends in two ways may be two pedal units, one for each. */
    private record Claimed(DeviceMatch match, Class<?> way, int page) {}

    private static int page(Fields fields) {
        return fields.integer("usage-page", 1, 0xffff, PedalSettings.ANY_PAGE);
    }

    private List<Entry> entries(@Nullable Node section) {
        List<Entry> entries = section == null ? List.of() : Fields.named("contact", section, scalars);
        if (section instanceof Mapping && entries.isEmpty()) {
            scalars.faults().add(section.place(), "this pedal has no contacts; expected a name for each");
        }
        return entries;
    }

    private void claim(NetPort port, Place place) {
        Place before = port.address().getPort() == 0 ? null : ports.putIfAbsent(port.socket(), place);
        if (before != null) {
            String at = Words.at(before, place);
            scalars.faults().add(place, "this port is already taken " + at + "; expected another");
        }
    }

    private PedalSettings network(String name, NetPort port, @Nullable Node section) {
        NetContactReader reader = new NetContactReader(port.carrier(), scalars, messages, timing);
        for (Entry entry : entries(section)) {
            add(name, entry.name(), entry.place(), reader.read(contacts.size(), entry));
        }
        return new PedalSettings.Network(name, port, reader.contacts());
    }

    private PedalSettings device(String name, DeviceMatch match, Fields fields, @Nullable Node section) {
        List<Entry> entries = entries(section);
        ContactReader reader = new ContactReader(scalars, codes, messages);
        for (Entry entry : entries) {
            add(name, entry.name(), entry.place(), reader.read(contacts.size(), entry, timing));
        }
        EventSignals events = reader.events();
        ReportSignals reports = reader.reports();
        boolean isMidi = !reader.midi().contacts().isEmpty();
        if (!isMidi && reports.bits().isEmpty() && reports.usages().isEmpty()) {
            fields.refuse("usage-page", REPORTS_ONLY);
            boolean grab = fields.flag("grab", true);
            return new PedalSettings.Events(name, match, grab, events.keys(), events.axes(), events.steps());
        }
        if (fields.has("grab") && fields.flag("grab", false)) {
            fields.refuse("grab", "only a device whose contacts are events can be grabbed");
        }
        if (isMidi) {
            fields.refuse("usage-page", REPORTS_ONLY);
            return new PedalSettings.Midi(name, match, reader.midi().contacts());
        }
        return new PedalSettings.Reports(name, match, page(fields), reports.bits(), reports.usages());
    }

    private PedalSettings performed(String name, Node performance, @Nullable Node section) {
        List<PedalSettings.Named> named = new ArrayList<>();
        if (section instanceof Sequence sequence) {
            listed(name, sequence, named);
        } else if (section != null) {
            for (Entry entry : Fields.named("contact", section, scalars)) {
                Timing own = entry.value() instanceof Scalar value && value.isNull() ? timing : ownTiming(entry);
                named.add(new PedalSettings.Named(add(name, entry.name(), entry.place(), own), entry.name()));
            }
        }
        return new PedalSettings.Performed(name, Paths.read(performance, scalars), named);
    }

    private void listed(String pedal, Sequence contacts, List<PedalSettings.Named> named) {
        Names names = new Names("contact");
        for (Node item : contacts.items()) {
            String contact = scalars.text(item, "the name of a contact", "");
            if (!contact.isEmpty()) {
                Fields.checkName("contact", contact, item.place(), scalars);
                Optional<Place> before = names.declare(contact, item.place());
                if (before.isEmpty()) {
                    named.add(new PedalSettings.Named(add(pedal, contact, item.place(), timing), contact));
                } else {
                    scalars.faults()
                            .add(
                                    item.place(),
                                    "the contact " + Words.quote(contact) + " is already given "
                                            + Words.at(before.get(), item.place()) + "; expected each contact once");
                }
            }
        }
    }

    private Timing ownTiming(Entry entry) {
        String what = "contact " + Words.quote(entry.name());
        return TimingReader.read(
                Fields.of(entry.place(), what, entry.value(), TimingReader.KEYS, scalars), timing, scalars);
    }

    private int add(String pedal, String contact, Place place, Timing own) {
        contacts.add(new Contact(pedal, contact, own));
        scope.contacts().declare(contact, place);
        scope.contacts().declare(pedal + "." + contact, place);
        return contacts.size() - 1;
    }
}
