package instep.daemon;

import instep.clock.Chase;
import instep.clock.PcmTimecode;
import instep.config.LtcSettings;
import instep.input.PcmPipe;
import instep.time.FrameRate;
import java.nio.ByteBuffer;
import java.util.function.Supplier;

/** Where linear timecode comes in: from its pipe, through its decoder, to the switchboard. Loop thread only. */
final class LtcPort implements TimecodePort, PcmPipe.Listener {
    private final ChaseReport report;
    private final PcmPipe pipe;
    private final PcmTimecode pcm;
    private final ChaseTimer timer;

    LtcPort(FrameRate rate, LtcSettings settings, Loop loop, Supplier<Switchboard> switchboard) {
        report = new ChaseReport("linear timecode", switchboard);
        pipe = new PcmPipe(loop.eventLoop(), settings.pipe(), this);
        pcm = new PcmTimecode(settings.format(), new Chase(rate, settings.freewheelNanos(), System.nanoTime(), report));
        timer = new ChaseTimer(loop, pcm::nextDeadline, pcm::advanceTo);
    }

    @Override
    public void start() {
        pipe.start();
        timer.arm();
    }

    @Override
    public void received(ByteBuffer bytes, long nanos) {
        pcm.received(bytes, nanos);
        timer.arm();
    }

    @Override
    public void ended(long nanos) {
        pcm.ended(nanos);
        timer.arm();
    }

    @Override
    public void trouble(String sentence) {
        report.trouble(sentence);
    }

    @Override
    public void close() {
        timer.stop();
        pipe.close();
    }
}
