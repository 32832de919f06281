package instep.input;

import instep.input.PedalSettings.MidiSignal;
import instep.input.hid.Usage;
import java.util.Locale;

/** What a device sends when one of its controls is pressed, turned or moved, as a configuration names it. */
public sealed interface Signal {
    /** Its keys in a contact of a configuration: {@code key: KEY_A}. */
    String keys();

    /** Whether it is over in the instant in which it comes: it can be pressed, but not held. */
    default boolean isStep() {
        return false;
    }

    private static String written(CodeNames names, int code) {
        String name = names.name(code);
        return name.indexOf(' ') < 0 ? name : String.valueOf(code);
    }

    /** A key or button of the kernel's. */
    record Key(int code) implements Signal {
        /** What keyboards type has codes below this: BTN_MISC. */
        private static final int BUTTONS = 0x100;

        @Override
        public String keys() {
            return "key: " + name();
        }

        /** The kernel's name, or the number of one that has none. */
        public String name() {
            return written(CodeNames.KEYS, code);
        }

        /** Whether it types into whatever has the keyboard, where nobody keeps the device to himself. */
        public boolean types() {
            return code < BUTTONS;
        }
    }

    /** An absolute axis of the kernel's. */
    record Axis(int code) implements Signal {
        @Override
        public String keys() {
            return "axis: " + written(CodeNames.AXES, code);
        }
    }

    /** A detent of a wheel in one direction. */
    record Step(int code, boolean up) implements Signal {
        @Override
        public String keys() {
            return "wheel: " + written(CodeNames.WHEELS, code) + ", step: " + (up ? "up" : "down");
        }

        @Override
        public boolean isStep() {
            return true;
        }
    }

    /** A control in raw reports that the device's own descriptor names. */
    record Named(Usage usage) implements Signal {
        @Override
        public String keys() {
            return "usage: \"" + usage.words() + "\"";
        }
    }

    /**
     * A bit of raw reports.
     *
     * @param report the report's number; 0 if the device does not number them
     * @param byteIndex counted from 0; of a numbered report that is its number
     */
    record Bit(int report, int byteIndex, int bit) implements Signal {
        @Override
        public String keys() {
            return (report > 0 ? "report: " + report + ", " : "") + "byte: " + byteIndex + ", bit: " + bit;
        }
    }

    /**
     * A MIDI note, controller or program.
     *
     * @param channel 1 to 16
     * @param number as it is on the wire, from 0
     */
    record Midi(MidiSignal kind, int channel, int number) implements Signal {
        @Override
        public String keys() {
            return kind.name().toLowerCase(Locale.ROOT) + ": " + number + ", channel: " + channel;
        }

        @Override
        public boolean isStep() {
            return kind == MidiSignal.PROGRAM;
        }
    }
}
