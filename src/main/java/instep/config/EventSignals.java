package instep.config;

import instep.config.Node.Entry;
import instep.gesture.Threshold;
import instep.input.CodeNames;
import instep.input.PedalSettings;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.OptionalInt;

/** Reads contacts that come as kernel events: keys, axes, steps of wheels. */
final class EventSignals {
    /** KEY_MAX, ABS_MAX and REL_MAX of the kernel's input-event-codes.h. */
    private static final int KEY_MAX = 0x2ff;

    private static final int ABS_MAX = 0x3f;
    private static final int REL_MAX = 0x0f;

    /** In the order in which a fault names them. */
    private static final Map<String, Boolean> DIRECTIONS = new LinkedHashMap<>();

    static {
        DIRECTIONS.put("up", true);
        DIRECTIONS.put("down", false);
    }

    private final Scalars scalars;
    private final KeyCodes codes;
    private final Signals signals;
    private final MovesReader moves;
    private final List<PedalSettings.Key> keys = new ArrayList<>();
    private final List<PedalSettings.Axis> axes = new ArrayList<>();
    private final List<PedalSettings.WheelStep> steps = new ArrayList<>();

    EventSignals(Scalars scalars, KeyCodes codes, Signals signals, MovesReader moves) {
        this.scalars = scalars;
        this.codes = codes;
        this.signals = signals;
        this.moves = moves;
    }

    List<PedalSettings.Key> keys() {
        return keys;
    }

    List<PedalSettings.Axis> axes() {
        return axes;
    }

    List<PedalSettings.WheelStep> steps() {
        return steps;
    }

    void key(int number, Fields fields, Entry entry) {
        OptionalInt code = new CodeReader(scalars, "key", "KEY_A or BTN_0", "KEY_", KEY_MAX)
                .read(fields.get("key"), codes, codes.names());
        if (code.isPresent()) {
            signals.take("key " + code.getAsInt(), fields.text("key", "", ""), entry);
            keys.add(new PedalSettings.Key(number, code.getAsInt()));
        }
    }

    void axis(int number, Fields fields, Entry entry) {
        Node node = fields.require("axis", "expected the kernel's name of an axis, such as ABS_Z");
        OptionalInt code = new CodeReader(scalars, "axis", "ABS_Z or ABS_HAT0X", "ABS_", ABS_MAX)
                .read(node, CodeNames.AXES::code, CodeNames.AXES.names());
        Threshold threshold = ThresholdReader.read(fields, scalars);
        if (code.isPresent()) {
            String side = threshold.press() > threshold.release() ? " above " : " below ";
            String shown = fields.text("axis", "", "") + side + Math.round(threshold.press() * 100) + "%";
            signals.take("axis " + code.getAsInt() + side + threshold.press(), shown, entry);
            axes.add(new PedalSettings.Axis(number, code.getAsInt(), threshold, moves.read(fields.get("moves"))));
        }
    }

    void wheel(int number, Fields fields, Entry entry) {
        Node node = fields.require("wheel", "expected the kernel's name of a wheel, such as REL_WHEEL");
        OptionalInt code = new CodeReader(scalars, "wheel", "REL_WHEEL", "REL_", REL_MAX)
                .read(node, CodeNames.WHEELS::code, CodeNames.WHEELS.names());
        fields.require("step", "expected the direction of the step, up or down");
        boolean up = fields.word("step", DIRECTIONS, true);
        if (code.isPresent()
                && node != null
                && CodeNames.WHEELS.name(code.getAsInt()).endsWith("_HI_RES")) {
            scalars.expected(node, "a wheel that counts detents; this one counts their 120th parts");
        } else if (code.isPresent()) {
            String shown = fields.text("wheel", "", "") + (up ? " up" : " down");
            signals.take("wheel " + code.getAsInt() + up, shown, entry);
            steps.add(new PedalSettings.WheelStep(number, code.getAsInt(), up));
        }
    }
}
