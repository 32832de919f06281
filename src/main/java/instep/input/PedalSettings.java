package instep.input;

import instep.gesture.Moves;
import instep.gesture.Threshold;
import instep.input.hid.Usage;
import java.nio.file.Path;
import java.util.List;
import org.jspecify.annotations.Nullable;

/** A pedal unit or button box: the device, and which of its signals is which contact. */
public sealed interface PedalSettings {
    /** The name in the configuration. */
    String name();

    /** A device read as kernel events: keys, axes and wheels. */
    record Events(String name, DeviceMatch match, boolean grab, List<Key> keys, List<Axis> axes, List<WheelStep> steps)
            implements PedalSettings {
        public Events {
            keys = List.copyOf(keys);
            axes = List.copyOf(axes);
            steps = List.copyOf(steps);
        }
    }

    /**
     * A device read as raw HID reports.
     *
     * @param page the usage page of an outermost collection of its descriptor; or {@link #ANY_PAGE}
     */
    record Reports(String name, DeviceMatch match, int page, List<ReportBits> bits, List<ReportUsage> usages)
            implements PedalSettings {
        public Reports {
            bits = List.copyOf(bits);
            usages = List.copyOf(usages);
        }

        /** Of whatever page. */
        public Reports(String name, DeviceMatch match, List<ReportBits> bits, List<ReportUsage> usages) {
            this(name, match, ANY_PAGE, bits, usages);
        }
    }

    /** A device read as raw MIDI. */
    record Midi(String name, DeviceMatch match, List<MidiContact> contacts) implements PedalSettings {
        public Midi {
            contacts = List.copyOf(contacts);
        }
    }

    /** A recorded list of timed edges in place of a device. */
    record Performed(String name, Path file, List<Named> contacts) implements PedalSettings {
        public Performed {
            contacts = List.copyOf(contacts);
        }
    }

    /** A port to which contacts come over the network. */
    record Network(String name, NetPort port, List<NetContact> contacts) implements PedalSettings {
        public Network {
            contacts = List.copyOf(contacts);
        }
    }

    /**
     * A key or button.
     *
     * @param contact the number of the contact
     * @param code the kernel's number, such as 30 for {@code KEY_A}
     */
    record Key(int contact, int code) {}

    /**
     * An absolute axis as a contact: closed beyond a threshold.
     *
     * @param contact the number of the contact
     * @param code the kernel's number, such as 2 for {@code ABS_Z}
     * @param moves what its positions are sent as; null: they are not
     */
    record Axis(
            int contact,
            int code,
            Threshold threshold,
            @Nullable Moves moves) {}

    /**
     * A relative axis as a contact: each detent in its direction closes and opens it in the same instant.
     *
     * @param contact the number of the contact
     * @param code the kernel's number, such as 8 for {@code REL_WHEEL}
     * @param up whether the detents that the kernel counts as positive are meant, else the negative ones
     */
    record WheelStep(int contact, int code, boolean up) {}

    /** Stands for the usage page of an interface where any is meant; the HID Usage Tables call it undefined. */
    int ANY_PAGE = 0;

    /** Stands for the number of a report where any is meant. */
    int ANY_REPORT = -1;

    /**
     * Some bits of a byte of a report: closed while they are as said.
     *
     * @param contact the number of the contact
     * @param report the number of the report, which is its byte 0; or {@link #ANY_REPORT}
     * @param byteIndex counted from 0; if the device numbers its reports, byte 0 is the number
     * @param mask the bits that are looked at
     * @param equals what they are while it is closed
     */
    record ReportBits(int contact, int report, int byteIndex, int mask, int equals) {
        /** One bit, 0, the lowest, to 7: 1 is closed. */
        public static ReportBits ofBit(int contact, int byteIndex, int bit) {
            return new ReportBits(contact, ANY_REPORT, byteIndex, 1 << bit, 1 << bit);
        }
    }

    /**
     * A control that the device's report descriptor says a usage of.
     *
     * @param contact the number of the contact
     * @param report the number of the report that it is in, or {@link #ANY_REPORT}
     * @param threshold for a control that has positions; one of 0 and 1 closes at 1, whatever it is
     * @param moves what its positions are sent as; null: they are not
     */
    record ReportUsage(
            int contact,
            int report,
            Usage usage,
            Threshold threshold,
            @Nullable Moves moves) {}

    /** Stands for the channel where any is meant. */
    int ANY_CHANNEL = 0;

    /** Which MIDI messages a contact is made of. */
    enum MidiSignal {
        /** Closed from note-on to note-off. */
        NOTE,
        /** Closed beyond a threshold; gives positions. */
        CONTROLLER,
        /** Each change to the program closes and opens it in the same instant. */
        PROGRAM
    }

    /**
     * A MIDI note, controller or program as a contact.
     *
     * @param contact the number of the contact
     * @param channel 1 to 16, or {@link #ANY_CHANNEL}
     * @param number of the note, controller or program as it is on the wire, from 0
     * @param threshold of a controller; for others without meaning
     * @param moves what a controller's positions are sent as; null: they are not
     */
    record MidiContact(
            int contact,
            MidiSignal signal,
            int channel,
            int number,
            Threshold threshold,
            @Nullable Moves moves) {}

    /** A contact by the name that it bears in the file. */
    record Named(int contact, String name) {}
}
