package instep.input;

import java.nio.ByteBuffer;
import java.util.function.LongSupplier;

/**
 * The bytes of one raw MIDI device as messages. The kernel gives no time for them, so it is the time of reading. A
 * device that has sent active sensing once and then is silent has vanished. Loop thread only.
 */
final class MidiReading implements LoopSource.Reading, MidiParser.Listener {
    /** Runs a task on the loop later. */
    interface Timer {
        void after(long nanos, Runnable task);
    }

    /** MIDI 1.0, System Real Time Messages, Active Sensing: the longest time between two messages. */
    static final long SILENCE_NANOS = 300_000_000;

    private static final int BUFFER_BYTES = 1024;

    private final ByteBuffer buffer = ByteBuffer.allocateDirect(BUFFER_BYTES);
    private final MidiMessages taker;
    private final MidiParser parser = new MidiParser(this);
    private final Timer timer;
    private final LongSupplier clock;
    private long heardAt;
    private boolean sensing;
    private boolean timed;
    private boolean ended;

    MidiReading(MidiMessages taker, Timer timer, LongSupplier clock) {
        this.taker = taker;
        this.timer = timer;
        this.clock = clock;
    }

    @Override
    public ByteBuffer buffer() {
        return buffer;
    }

    @Override
    public void received(int bytes) {
        heardAt = clock.getAsLong();
        parser.bytes(buffer, bytes);
    }

    @Override
    public void exclusive(byte[] bytes, int length) {
        taker.exclusive(bytes, length, heardAt);
    }

    @Override
    public void message(int status, int first, int second) {
        if (status == MidiParser.ACTIVE_SENSING) {
            sensing = true;
            watch(SILENCE_NANOS);
        } else {
            taker.message(status, first, second, heardAt);
        }
    }

    /** One timer at a time, which is set again for what is left: not one for each byte. */
    private void watch(long nanos) {
        if (!timed) {
            timed = true;
            timer.after(nanos, this::due);
        }
    }

    private void due() {
        timed = false;
        long now = clock.getAsLong();
        long left = heardAt + SILENCE_NANOS - now;
        if (ended || !sensing) {
            return;
        }
        if (left > 0) {
            watch(left);
        } else {
            sensing = false;
            taker.vanished(now);
        }
    }

    @Override
    public void vanished(long nanos) {
        ended = true;
        taker.vanished(nanos);
    }

    @Override
    public void ended() {
        ended = true;
    }
}
