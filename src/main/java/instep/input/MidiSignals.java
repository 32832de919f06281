package instep.input;

import instep.input.Inventory.Device;
import instep.input.PedalSettings.MidiSignal;
import java.util.HashSet;
import java.util.Set;

/** All notes, controllers and programs that one device sends, each as a signal on its channel. */
final class MidiSignals implements MidiMessages {
    private static final int KIND = 0xf0;
    private static final double LARGEST = 127;
    /** From here on a controller's number is a channel mode message (MIDI 1.0, Channel Mode Messages). */
    private static final int MODES = 120;

    private final Device device;
    private final Inventory.Listener listener;
    private final Set<Signal> moved = new HashSet<>();

    MidiSignals(Device device, Inventory.Listener listener) {
        this.device = device;
        this.listener = listener;
    }

    @Override
    public void message(int status, int first, int second, long nanos) {
        int channel = (status & ~KIND) + 1;
        switch (status & KIND) {
            case MidiParser.NOTE_ON, MidiParser.NOTE_OFF ->
                listener.switched(
                        device,
                        new Signal.Midi(MidiSignal.NOTE, channel, first),
                        (status & KIND) == MidiParser.NOTE_ON,
                        nanos);
            case MidiParser.PROGRAM_CHANGE -> {
                Signal program = new Signal.Midi(MidiSignal.PROGRAM, channel, first);
                listener.switched(device, program, true, nanos);
                listener.switched(device, program, false, nanos);
            }
            case MidiParser.CONTROL_CHANGE -> {
                if (first < MODES) {
                    controller(new Signal.Midi(MidiSignal.CONTROLLER, channel, first), second / LARGEST, nanos);
                }
            }
            default -> {
                // pressure, bend and what concerns all of a system is no pedal
            }
        }
    }

    /** Nobody can be asked where it stands before it is moved first; most rest at the low end. */
    private void controller(Signal signal, double share, long nanos) {
        if (moved.add(signal)) {
            listener.stands(device, signal, 0);
        }
        listener.moved(device, signal, share, nanos);
    }

    @Override
    public void vanished(long nanos) {
        // whoever identifies a device knows that they pulled the plug
    }
}
