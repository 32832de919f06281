package instep.daemon;

import instep.clock.Chase;
import instep.clock.PcmTimecode;
import instep.config.LtcSettings;
import instep.input.PcmPipe;
import instep.time.FrameRate;
import instep.time.TimecodeLine;
import java.nio.ByteBuffer;
import org.jspecify.annotations.Nullable;

/** Where linear timecode comes in: from its pipe, through its decoder, to the switchboard. Loop thread only. */
final class TimecodePort implements PcmPipe.Listener, Chase.Listener, AutoCloseable {
    private final Loop loop;
    private final Switchboard switchboard;
    private final PcmPipe pipe;
    private final PcmTimecode pcm;
    private boolean isArmed;
    private boolean closed;

    TimecodePort(FrameRate rate, LtcSettings settings, Loop loop, Switchboard switchboard) {
        this.loop = loop;
        this.switchboard = switchboard;
        pipe = new PcmPipe(loop.eventLoop(), settings.pipe(), this);
        pcm = new PcmTimecode(settings.format(), new Chase(rate, settings.freewheelNanos(), System.nanoTime(), this));
    }

    void start() {
        pipe.start();
        arm();
    }

    @Override
    public void received(ByteBuffer bytes, long nanos) {
        pcm.received(bytes, nanos);
        arm();
    }

    @Override
    public void ended(long nanos) {
        pcm.ended(nanos);
        arm();
    }

    /** One timer at most: each piece that arrives puts the deadline off, and the timer looks again when it comes. */
    private void arm() {
        long deadline = pcm.nextDeadline();
        if (isArmed || closed || deadline == Long.MAX_VALUE) {
            return;
        }
        isArmed = true;
        loop.at(deadline, () -> {
            isArmed = false;
            if (!closed) {
                pcm.advanceTo(loop.now());
                arm();
            }
        });
    }

    @Override
    public void news(Chase.News news, @Nullable TimecodeLine line, Chase.Quality quality) {
        switchboard.timecode(news, line);
    }

    @Override
    public void trouble(String sentence) {
        switchboard.timecodeFault("linear timecode: " + sentence);
    }

    @Override
    public void close() {
        closed = true;
        pipe.close();
    }
}
