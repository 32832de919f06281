package instep.clock;

/**
 * How samples lie in a stream of uncompressed audio (linear PCM): signed, the lowest byte first, the channels one after the other.
 *
 * @param sampleRate samples of each channel a second
 * @param bits of a sample: 16, 24 (in three bytes) or 32
 * @param channels how many there are
 * @param channel which of them is listened to, from 1
 */
public record PcmFormat(int sampleRate, int bits, int channels, int channel) {
    public PcmFormat {
        if (sampleRate <= 0 || bits % 8 != 0 || bits < 16 || bits > 32 || channel < 1 || channel > channels) {
            throw new IllegalArgumentException("no such audio: " + sampleRate + " " + bits + " " + channels);
        }
    }

    /** Bytes of one sample of all channels. */
    int frameBytes() {
        return bits / 8 * channels;
    }
}
