package instep.clock;

/**
 * From the place of a sample in a stream to monotonic time, by when the stream's bytes arrived; or of anything else that is sent at a steady pace. Audio arrives in pieces and late: never early, and sometimes hardly late at
 * all. So the least lateness that was seen is that of the path itself, and all above it is jitter (a lower envelope). It may rise by {@link #DRIFT}, since the
 * clock of the sound card and the monotonic one part: between two punctual pieces that are a second apart, times are too late by 0.2 ms at most. When no piece has been
 * punctual for a while, samples were lost on the way, and it begins anew. Not thread-safe.
 */
final class SampleClock {
    /** Faster than any two crystals part. */
    private static final double DRIFT = 200e-6;
    /** So long not even one piece is punctual: samples were lost. By arrival, since what has piled up comes all at once. */
    private static final long BLOCK_NANOS = 200_000_000L;

    private static final double STEP_NANOS = 10e6;

    private final double nanosPerSample;
    private boolean started;
    private long base;
    private double elapsed;
    /** How late the most punctual piece is, against the first of all. */
    private double offset;

    private long blockBegan;
    private double blockLeast;

    SampleClock(double sampleRate) {
        nanosPerSample = 1e9 / sampleRate;
    }

    /** So many samples have come since the beginning of the stream, the last of them at that instant. */
    void arrived(long samples, long nanos) {
        if (!started) {
            started = true;
            base = nanos;
            blockBegan = nanos;
            elapsed = samples * nanosPerSample;
            offset = -elapsed;
            blockLeast = offset;
            return;
        }
        double before = elapsed;
        elapsed = samples * nanosPerSample;
        double late = nanos - base - elapsed;
        offset = Math.min(late, offset + (elapsed - before) * DRIFT);
        if (nanos - blockBegan > BLOCK_NANOS) {
            if (blockLeast > offset + STEP_NANOS) {
                offset = Math.min(late, blockLeast);
            }
            blockBegan = nanos;
            blockLeast = late;
        }
        blockLeast = Math.min(blockLeast, late);
    }

    /** When that sample was heard; parts of a sample count. */
    long nanosAt(double sample) {
        return base + Math.round(sample * nanosPerSample + offset);
    }
}
