package instep.daemon;

import instep.clock.Chase;
import instep.clock.MidiTimecode;
import instep.config.MidiTimecodeSettings;
import instep.input.InputListener.DeviceState;
import instep.input.MidiTimecodeInput;
import instep.time.FrameRate;
import java.util.function.Supplier;

/** Where MIDI timecode comes in: from its device to the switchboard. Loop thread only. */
final class MtcPort implements TimecodePort, MidiTimecodeInput.Listener {
    private final ChaseReport report;
    private final MidiTimecodeInput input;
    private final MidiTimecode midi;
    private final ChaseTimer timer;

    MtcPort(FrameRate rate, MidiTimecodeSettings settings, Loop loop, Supplier<Switchboard> switchboard) {
        report = new ChaseReport("MIDI timecode", switchboard);
        input = new MidiTimecodeInput(loop.eventLoop(), settings.match(), this);
        midi = new MidiTimecode(new Chase(rate, settings.freewheelNanos(), System.nanoTime(), report));
        timer = new ChaseTimer(loop, midi::nextDeadline, midi::advanceTo);
    }

    @Override
    public void start() {
        input.start();
        timer.arm();
    }

    @Override
    public void quarterFrame(int data, long nanos) {
        midi.quarterFrame(data, nanos);
        timer.arm();
    }

    @Override
    public void fullFrame(int hours, int minutes, int seconds, int frames, long nanos) {
        midi.fullFrame(hours, minutes, seconds, frames, nanos);
        timer.arm();
    }

    @Override
    public void ended(long nanos) {
        midi.ended(nanos);
        timer.arm();
    }

    /** That it is there says the lock. */
    @Override
    public void device(DeviceState state, String detail) {
        if (state != DeviceState.UP) {
            report.trouble(detail);
        }
    }

    @Override
    public void close() {
        timer.stop();
        input.close();
    }
}
