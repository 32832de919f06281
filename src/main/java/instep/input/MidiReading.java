package instep.input;

import java.nio.ByteBuffer;
import java.nio.ByteOrder;
import java.util.function.LongSupplier;

/**
 * What one raw MIDI device sends as messages, with the kernel's time where it gives one, else that of reading. A device that has sent active sensing once and then is
 * silent has vanished. Loop thread only.
 */
final class MidiReading implements LoopSource.Reading, MidiParser.Listener {
    /** Runs a task on the loop later. */
    interface Timer {
        void after(long nanos, Runnable task);
    }

    /** MIDI 1.0, System Real Time Messages, Active Sensing: the longest time between two messages. */
    static final long SILENCE_NANOS = 300_000_000;

    /** Of struct snd_rawmidi_framing_tstamp in sound/asound.h: type, length, two reserved, nanoseconds, seconds, data. */
    static final int FRAME_BYTES = 32;

    private static final int LENGTH_AT = 1;
    private static final int NANOS_AT = 4;
    private static final int SECONDS_AT = 8;
    private static final int DATA_AT = 16;
    private static final long SECOND = 1_000_000_000L;
    private static final int BUFFER_BYTES = 64 * FRAME_BYTES;

    private final ByteBuffer buffer = ByteBuffer.allocateDirect(BUFFER_BYTES).order(ByteOrder.nativeOrder());
    private final MidiMessages taker;
    private final boolean isStamped;
    private final MidiParser parser = new MidiParser(this);
    private final Timer timer;
    private final LongSupplier clock;
    private long heardAt;
    private boolean sensing;
    private boolean timed;
    private boolean ended;

    /**
     * A device that has sent nothing yet.
     *
     * @param isStamped whether frames are read and not bytes, as {@link NodeOpener.MidiDescriptor} says
     */
    MidiReading(MidiMessages taker, boolean isStamped, Timer timer, LongSupplier clock) {
        this.taker = taker;
        this.isStamped = isStamped;
        this.timer = timer;
        this.clock = clock;
    }

    @Override
    public ByteBuffer buffer() {
        return buffer;
    }

    @Override
    public void received(int bytes) {
        if (!isStamped) {
            heardAt = clock.getAsLong();
            parser.bytes(buffer, 0, bytes);
            return;
        }
        for (int frame = 0; frame + FRAME_BYTES <= bytes; frame += FRAME_BYTES) {
            if (buffer.get(frame) == 0) { // other types are to be skipped
                heardAt = buffer.getLong(frame + SECONDS_AT) * SECOND + buffer.getInt(frame + NANOS_AT);
                int length = Byte.toUnsignedInt(buffer.get(frame + LENGTH_AT));
                parser.bytes(buffer, frame + DATA_AT, Math.min(length, FRAME_BYTES - DATA_AT));
            }
        }
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
