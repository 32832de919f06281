package instep.config;

import instep.config.Node.Entry;
import instep.gear.GearSettings;
import instep.gear.Listening;
import instep.input.PedalSettings;
import instep.machine.Place;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.HashSet;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import java.util.stream.Stream;
import org.jspecify.annotations.Nullable;

/** Reads {@code gear}: what is commanded, and how it is reached. */
final class GearReader {
    static final long STALE_AFTER = 300_000_000L;

    static final List<String> KEYS = Stream.concat(
                    Stream.of(
                            "tcp",
                            "tls",
                            "udp",
                            "osc",
                            "http",
                            "ws",
                            "serial",
                            "sound",
                            "led",
                            "line-end",
                            "length-prefix",
                            "framing",
                            "trust",
                            "headers",
                            "basic",
                            "bearer",
                            "follow",
                            "within",
                            "ping-every",
                            "baud",
                            "data-bits",
                            "parity",
                            "stop-bits",
                            "stale-after"),
                    ListeningReader.KEYS.stream())
            .toList();

    private final Scope scope;
    private final Scalars scalars;
    private final ListeningReader ears;
    private final LedReader leds;
    private final List<Listening> listening = new ArrayList<>();
    /** Those that say no timecode. */
    private final Set<String> silent = new HashSet<>();

    GearReader(Scope scope) {
        this.scope = scope;
        this.scalars = scope.scalars();
        this.leds = new LedReader(scope.scalars());
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
                if (entry.name().equals(ConfigReader.JOURNAL)) {
                    scalars.faults().add(entry.place(), "gear cannot be called journal, which has events of its own");
                }
                if (entry.name().equals(TimecodeSettings.NAME)) {
                    scalars.faults()
                            .add(
                                    entry.place(),
                                    "gear cannot be called timecode, which has a value and events of its own");
                }
                read(entry).ifPresent(gear::add);
            }
        }
        return gear;
    }

    /** The same gear, where it is the lamps of a pedal with that pedal's device. */
    List<GearSettings> withDevices(List<GearSettings> gear, List<PedalSettings> pedals) {
        return leds.found(gear, pedals);
    }

    /** How each is listened to, in the same order. */
    List<Listening> listening() {
        return List.copyOf(listening);
    }

    /** Whether the gear of that name says its timecode; one that could not be read may. */
    boolean tellsTimecode(String gear) {
        return !silent.contains(gear);
    }

    private Optional<GearSettings> read(Entry entry) {
        String what = "gear " + Words.quote(entry.name());
        Fields fields = Fields.of(entry.place(), what, entry.value(), KEYS, scalars);
        Optional<Transport> transport = transport(fields, what);
        transport.ifPresent(t -> scope.transports().put(entry.name(), t));
        transport.map(t -> ears.read(entry.name(), t, fields)).ifPresent(heard -> {
            listening.add(heard);
            if (!heard.tellsTimecode() && !fields.isBroken()) {
                silent.add(entry.name());
            }
        });
        return transport.map(t -> new LinkReader(entry.name(), fields, scalars, leds).read(t));
    }

    private Optional<Transport> transport(Fields fields, String what) {
        List<Transport> given = Arrays.stream(Transport.values())
                .filter(t -> fields.has(t.word()))
                .toList();
        String words = Words.either(Transport.words());
        if (given.isEmpty() && !fields.isBroken()) {
            scalars.faults().add(fields.place(), what + " has no address; expected " + words);
        }
        if (given.size() > 1) {
            Place second = fields.placeOf(given.get(1).word());
            scalars.faults().add(second, what + " is reached in two ways; expected only one of " + words);
        }
        return given.size() == 1 ? Optional.of(given.get(0)) : Optional.empty();
    }
}
