package instep.input;

import io.netty.channel.IoEventLoop;
import java.util.List;

/**
 * The messages of MIDI timecode from one raw MIDI device (MIDI 1.0 Detailed Specification, MIDI Time Code), which is found, opened, read on the loop, and taken up again when it returns. They have the
 * time of reading. Everything else that the device sends is passed over.
 */
public final class MidiTimecodeInput implements AutoCloseable {
    /** Who gets what comes; called on the loop thread. */
    public interface Listener {
        /** A quarter-frame message with its one byte of data. */
        void quarterFrame(int data, long nanos);

        /** A full message; the hours have the code of the rate above them. */
        void fullFrame(int hours, int minutes, int seconds, int frames, long nanos);

        /** The device has gone, or does not say any more that it is there. */
        void ended(long nanos);

        /** The device came, is missing, or cannot be used; the detail is a sentence for a person. */
        void device(InputListener.DeviceState state, String detail);
    }

    private static final String NAME = "timecode";
    private static final int REAL_TIME = 0x7f;
    private static final int TIME_CODE = 1;
    private static final int FULL_MESSAGE = 1;
    private static final int FULL_LENGTH = 8;

    private final Devices devices;

    /** Nothing is opened before {@link #start}. */
    public MidiTimecodeInput(IoEventLoop loop, DeviceMatch match, Listener listener) {
        this(loop, match, listener, Host.machine());
    }

    MidiTimecodeInput(IoEventLoop loop, DeviceMatch match, Listener listener, Host host) {
        List<PedalSettings> device = List.of(new PedalSettings.Midi(NAME, match, List.of()));
        devices = new Devices(
                loop, device, new States(listener), host, Ports.ofThisRun(), (midi, seat) -> new Messages(listener));
    }

    /** Opens the device if it is there, and watches for it if not. */
    public void start() {
        devices.start();
    }

    /** Gives the device back; nothing is told any more. */
    @Override
    public void close() {
        devices.close();
    }

    private record States(Listener listener) implements InputListener {
        @Override
        public void edge(int contact, boolean closed, boolean lost, long nanos) {
            throw new IllegalStateException("a device without contacts has none that could close");
        }

        @Override
        public void device(int pedal, DeviceState state, String detail, long nanos) {
            listener.device(state, detail);
        }
    }

    private record Messages(Listener listener) implements MidiMessages {
        @Override
        public void message(int status, int first, int second, long nanos) {
            if (status == MidiParser.QUARTER_FRAME) {
                listener.quarterFrame(first, nanos);
            }
        }

        /** 7F, the device (7F: all), 01, 01, and the label in four bytes. */
        @Override
        public void exclusive(byte[] bytes, int length, long nanos) {
            boolean isFull =
                    length == FULL_LENGTH && bytes[0] == REAL_TIME && bytes[2] == TIME_CODE && bytes[3] == FULL_MESSAGE;
            if (isFull) {
                listener.fullFrame(bytes[4], bytes[5], bytes[6], bytes[7], nanos);
            }
        }

        @Override
        public void vanished(long nanos) {
            listener.ended(nanos);
        }
    }
}
