package instep.config;

import instep.gesture.Timing;
import java.util.List;
import org.jspecify.annotations.Nullable;

/** Reads thresholds: those of {@code timing}, and those that a contact has of its own. */
final class TimingReader {
    static final List<String> KEYS = List.of("debounce", "hold", "double-tap", "lift-grace");

    private TimingReader() {}

    static Timing section(Node.@Nullable Entry section, Scalars scalars) {
        return section == null
                ? Timing.DEFAULT
                : read(Fields.of(section.place(), "timing", section.value(), KEYS, scalars), Timing.DEFAULT, scalars);
    }

    /** The thresholds among some fields, over those that hold otherwise. */
    static Timing read(Fields fields, Timing otherwise, Scalars scalars) {
        long debounce = fields.nanos("debounce", otherwise.debounce());
        long hold = fields.nanos("hold", otherwise.hold());
        boolean said = fields.has("hold") || fields.has("debounce");
        if (said && hold <= debounce) {
            scalars.faults()
                    .add(
                            fields.placeOf(fields.has("hold") ? "hold" : "debounce"),
                            "the hold is not longer than the debounce; expected a longer hold or a shorter debounce");
            return otherwise;
        }
        return new Timing(
                debounce,
                hold,
                fields.nanos("double-tap", otherwise.doubleTap()),
                fields.nanos("lift-grace", otherwise.liftGrace()));
    }
}
