package instep.clock;

import java.nio.ByteBuffer;

/**
 * Linear timecode in a stream of uncompressed audio: bytes go in with the instants of their arrival, and a {@link Chase} gets the words with the instants at which they were
 * heard. Allocates nothing while the stream flows. Not thread-safe.
 */
public final class PcmTimecode {
    /** Frames for which nothing at all may arrive. */
    private static final int STILL_FRAMES = 8;

    private final PcmFormat format;
    private final Chase chase;
    private final LtcRun run;
    private final int first;
    private final int last;
    private final double full;
    private LtcDecoder decoder;
    private SampleClock clock;
    private long samples;
    private int at;
    private int sample;
    private long arrived;

    /** Before the first byte. */
    public PcmTimecode(PcmFormat format, Chase chase) {
        this.format = format;
        this.chase = chase;
        run = new LtcRun(chase);
        first = (format.channel() - 1) * format.bits() / 8;
        last = first + format.bits() / 8 - 1;
        full = 1.0 / (1L << 31);
        decoder = decoder();
        clock = new SampleClock(format.sampleRate());
    }

    private LtcDecoder decoder() {
        return new LtcDecoder(
                format.sampleRate(),
                run.wordRate(),
                (word, start, end, backwards) -> run.word(word, clock.nanosAt(start), clock.nanosAt(end), backwards));
    }

    /** These bytes have arrived at that instant; they are all taken. */
    public void received(ByteBuffer bytes, long nanos) {
        arrived = nanos;
        clock.arrived(samples + (at + bytes.remaining()) / format.frameBytes(), nanos);
        while (bytes.hasRemaining()) {
            take(bytes.get());
        }
        run.heardUntil(clock.nanosAt((double) samples));
        chase.advanceTo(nanos);
    }

    private void take(byte next) {
        if (at >= first && at <= last) {
            // The highest byte of the sample ends up on top, whatever its width.
            sample = sample >>> 8 | next << 24;
        }
        at++;
        if (at == format.frameBytes()) {
            decoder.accept(sample * full);
            samples++;
            at = 0;
            sample = 0;
        }
    }

    /** The stream has ended; what comes next is another one. */
    public void ended(long nanos) {
        decoder = decoder();
        clock = new SampleClock(format.sampleRate());
        samples = 0;
        at = 0;
        sample = 0;
        run.silent(nanos);
    }

    /** Tells what is due until that instant. */
    public void advanceTo(long nanos) {
        if (chase.isLocked() && nanos >= nextDeadline()) {
            run.silent(nanos);
        }
        chase.advanceTo(nanos);
    }

    /** When {@link #advanceTo} has something to do, if nothing arrives before; {@link Long#MAX_VALUE}: never. */
    public long nextDeadline() {
        return chase.isLocked() ? arrived + Math.round(STILL_FRAMES * chase.frameNanos()) : chase.nextDeadline();
    }
}
