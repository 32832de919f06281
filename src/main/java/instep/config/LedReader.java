package instep.config;

import instep.gear.GearSettings;
import instep.gear.GearSettings.Led;
import instep.input.OutputReports;
import instep.input.PedalSettings;
import instep.machine.Place;
import java.nio.file.Path;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;

/** Reads {@code led}: the lamps on the device of a pedal unit, which is looked for when the pedals have been read. */
final class LedReader {
    static final List<String> KEYS = List.of("device", "report");

    private final Scalars scalars;
    private final Map<String, Place> places = new HashMap<>();

    LedReader(Scalars scalars) {
        this.scalars = scalars;
    }

    /** The output reports of a device that is only named yet. */
    private record Unplugged() implements GearSettings.OutputNode {
        @Override
        public Optional<Path> find() {
            return Optional.empty();
        }
    }

    /** The output reports of that unit's device. */
    private record OfPedal(PedalSettings pedal) implements GearSettings.OutputNode {
        @Override
        public Optional<Path> find() {
            return OutputReports.node(pedal);
        }
    }

    Led read(String name, Node where, long staleAfter) {
        places.put(name, where.place());
        if (where instanceof Node.Scalar) {
            return new Led(name, scalars.text(where, "the name of a pedal", ""), 0, new Unplugged(), staleAfter);
        }
        Fields fields = Fields.of(where.place(), "led", where, KEYS, scalars);
        Node device = fields.require("device", "expected the name of a pedal");
        if (device != null) {
            places.put(name, device.place());
        }
        String pedal = fields.text("device", "the name of a pedal", "");
        return new Led(name, pedal, fields.integer("report", 1, 255, 0), new Unplugged(), staleAfter);
    }

    /** The gear with the devices of those pedals. */
    List<GearSettings> found(List<GearSettings> gear, List<PedalSettings> pedals) {
        return gear.stream()
                .map(one -> one instanceof Led led && !led.device().isEmpty() ? found(led, pedals) : one)
                .toList();
    }

    private GearSettings found(Led led, List<PedalSettings> pedals) {
        Place place = places.getOrDefault(led.name(), Scope.NOWHERE);
        Optional<PedalSettings> pedal =
                pedals.stream().filter(unit -> unit.name().equals(led.device())).findFirst();
        if (pedal.isEmpty()) {
            List<String> names = pedals.stream().map(PedalSettings::name).toList();
            scalars.faults()
                    .add(
                            place,
                            "unknown pedal " + Words.quote(led.device())
                                    + Words.hint(led.device(), names, scalars.faults()));
        } else if (!OutputReports.canBeSentTo(pedal.get())) {
            scalars.faults()
                    .add(
                            place,
                            Words.quote(led.device())
                                    + " has no lamps that could be told; expected a pedal that is matched by its keys, axes or raw reports");
        }
        return pedal.<GearSettings>map(unit ->
                        new Led(led.name(), led.device(), led.report(), new OfPedal(unit), led.staleAfterNanos()))
                .orElse(led);
    }
}
