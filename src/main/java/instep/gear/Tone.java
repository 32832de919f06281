package instep.gear;

/** The sound of a tone: a sine in 16-bit samples, one channel, least significant byte first. Starts and ends at the middle line. */
final class Tone {
    /** Samples a second. */
    static final int HERTZ = 48_000;

    static final int BYTES_PER_SAMPLE = 2;
    private static final double FULL_SCALE = 32_767;
    private static final double NANOS = 1e9;

    private Tone() {}

    /**
     * Its samples.
     *
     * <p>The level counts from a full-scale sine (0 dBFS in AES17), so that it is that of the peaks.
     */
    static byte[] samples(Payload.Tone tone) {
        int count = (int) Math.round(tone.nanos() * (double) HERTZ / NANOS);
        double peak = FULL_SCALE * Math.pow(10, tone.level() / 20.0);
        byte[] samples = new byte[count * BYTES_PER_SAMPLE];
        for (int i = 0; i < count; i++) {
            long value = Math.round(peak * Math.sin(2 * Math.PI * tone.hertz() * i / HERTZ));
            samples[2 * i] = (byte) value;
            samples[2 * i + 1] = (byte) (value >> 8);
        }
        return samples;
    }
}
