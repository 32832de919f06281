package instep.config;

import instep.config.Node.Entry;
import instep.gesture.Moves;
import instep.gesture.Threshold;
import instep.input.PedalSettings;
import instep.input.PedalSettings.MidiContact;
import instep.input.PedalSettings.MidiSignal;
import java.util.ArrayList;
import java.util.List;
import org.jspecify.annotations.Nullable;

/** Reads contacts that are MIDI messages: notes, controllers, programs, by the numbers that are on the wire. */
final class MidiSignals {
    private static final int LAST = 127;
    /** Those above it are no controllers: MIDI 1.0, Channel Mode Messages. */
    private static final int LAST_CONTROLLER = 119;

    private static final int LAST_CHANNEL = 16;

    private final Scalars scalars;
    private final Signals signals;
    private final MovesReader moves;
    private final List<MidiContact> contacts = new ArrayList<>();

    MidiSignals(Scalars scalars, Signals signals, MovesReader moves) {
        this.scalars = scalars;
        this.signals = signals;
        this.moves = moves;
    }

    List<MidiContact> contacts() {
        return contacts;
    }

    void note(int number, Fields fields, Entry entry) {
        fields.require("note", "expected the number of the note beside channel, or a controller or program");
        int note = fields.integer("note", 0, LAST, 0);
        take(new MidiContact(number, MidiSignal.NOTE, channel(fields), note, Threshold.DEFAULT, null), "note", entry);
    }

    void program(int number, Fields fields, Entry entry) {
        int program = fields.integer("program", 0, LAST, 0);
        take(
                new MidiContact(number, MidiSignal.PROGRAM, channel(fields), program, Threshold.DEFAULT, null),
                "program",
                entry);
    }

    void controller(int number, Fields fields, Entry entry) {
        int controller = fields.integer("controller", 0, LAST_CONTROLLER, 0);
        Threshold threshold = ThresholdReader.read(fields, scalars);
        @Nullable Moves sent = moves.read(fields.get("moves"));
        take(
                new MidiContact(number, MidiSignal.CONTROLLER, channel(fields), controller, threshold, sent),
                "controller",
                entry);
    }

    private void take(MidiContact contact, String kind, Entry entry) {
        contacts.stream()
                .filter(other -> overlap(contact, other))
                .findFirst()
                .ifPresent(other -> scalars.faults()
                        .add(
                                entry.value().place(),
                                kind + " " + contact.number()
                                        + " is another contact, too, and one of the two is on any channel, so that both would close; "
                                        + "expected a channel for each"));
        int channel = contact.channel();
        String shown =
                kind + " " + contact.number() + (channel == PedalSettings.ANY_CHANNEL ? "" : " on channel " + channel);
        signals.take(shown + " " + contact.threshold(), shown, entry);
        contacts.add(contact);
    }

    /** The same on one channel is found when it is taken. */
    private static boolean overlap(MidiContact one, MidiContact other) {
        return one.signal() == other.signal()
                && one.number() == other.number()
                && one.threshold().equals(other.threshold())
                && one.channel() != other.channel()
                && (one.channel() == PedalSettings.ANY_CHANNEL || other.channel() == PedalSettings.ANY_CHANNEL);
    }

    private static int channel(Fields fields) {
        return fields.integer("channel", 1, LAST_CHANNEL, PedalSettings.ANY_CHANNEL);
    }
}
