package instep.clock;

/**
 * Reads linear timecode (SMPTE ST 12-1, clause 8: biphase mark) out of an audio signal. Neither its polarity nor its level matters, nor a steady offset; the tape may run
 * backwards. A change of level begins each bit, and a 1 has another one in its middle. Allocates nothing after construction. Not thread-safe.
 */
public final class LtcDecoder {
    /** Who is told of each word that was read. */
    @FunctionalInterface
    public interface Listener {
        /**
         * A whole word.
         *
         * @param start where its first bit began (backwards: where its last did), in samples from the beginning of the signal
         * @param end where the next word begins
         * @param backwards whether the signal runs backwards
         */
        void word(LtcWord word, double start, double end, boolean backwards);
    }

    /** Bits in a word with its synchronizing word. */
    public static final int BITS = 80;

    private static final int DATA_BITS = 64;
    /** The synchronizing word as it is sent, 0011 1111 1111 1101, and as it comes backwards. */
    private static final int SYNC = 0x3FFD;

    private static final int SYNC_BACKWARDS = 0xBFFC;

    /** A distance shorter than this part of a bit is half a bit. */
    private static final double HALF_BELOW = 0.75;
    /** A distance longer than this is no bit. */
    private static final double GAP_ABOVE = 1.6;
    /** How far the signal may be off its nominal speed and still be followed. */
    private static final double SLOWEST = 1.3;

    private static final double FASTEST = 0.77;
    /** Part of the error by which the length of a bit is corrected each time. */
    private static final double AGILITY = 0.1;
    /** Part of the swing to both sides of the middle which the signal must cross, so that noise does not count. */
    private static final double HYSTERESIS = 0.3;
    /** Bits in which the memory of the highest and lowest level fades to a third. */
    private static final double FADE_BITS = 4;

    private final Listener listener;
    private final double nominal;
    private final double fade;
    private final double[] starts = new double[BITS + 1];

    private double bit;
    private double high;
    private double low;
    private double before;
    private long position;
    private boolean isHigh;
    private double crossing;
    private double lastEdge = Double.NEGATIVE_INFINITY;
    private double middle = Double.NaN;

    private int sync;
    private long data;
    private long count;
    private int toCome;
    private long backwards;

    /**
     * A decoder that has heard nothing.
     *
     * @param sampleRate samples a second
     * @param wordRate words a second: the rate of frames, or half of it above 30
     */
    public LtcDecoder(double sampleRate, double wordRate, Listener listener) {
        this.listener = listener;
        nominal = sampleRate / (wordRate * BITS);
        bit = nominal;
        fade = Math.exp(-1 / (FADE_BITS * nominal));
    }

    /** Takes the next sample; its unit does not matter. */
    public void accept(double sample) {
        double centre = (high + low) / 2;
        high = Math.max(sample, centre + (high - centre) * fade);
        low = Math.min(sample, centre + (low - centre) * fade);
        centre = (high + low) / 2;
        boolean rises = before < centre && sample >= centre;
        boolean falls = before > centre && sample <= centre;
        if (rises || falls) {
            double part = (centre - before) / (sample - before);
            crossing = position - 1 + part;
        }
        double margin = (high - low) / 2 * HYSTERESIS;
        if (isHigh ? sample < centre - margin : sample > centre + margin) {
            isHigh = !isHigh;
            edge(crossing);
        }
        before = sample;
        position++;
    }

    private void edge(double at) {
        double distance = at - lastEdge;
        if (distance > bit * GAP_ABOVE) {
            begin(at);
        } else if (distance > bit * HALF_BELOW) {
            // A half without its other half: the phase was wrong, and what was read so far is worthless.
            if (!Double.isNaN(middle)) {
                forget();
                starts[0] = lastEdge;
            }
            learn(distance);
            bit(0, at);
        } else if (Double.isNaN(middle)) {
            middle = at;
        } else {
            learn(at - starts[slot(count)]);
            bit(1, at);
        }
        lastEdge = at;
    }

    private void learn(double length) {
        bit += (length - bit) * AGILITY;
        bit = Math.min(nominal * SLOWEST, Math.max(nominal * FASTEST, bit));
    }

    /** The signal was away: a bit begins here. */
    private void begin(double at) {
        forget();
        starts[0] = at;
        bit = nominal;
    }

    private void forget() {
        count = 0;
        sync = 0;
        data = 0;
        toCome = 0;
        middle = Double.NaN;
    }

    private void bit(int value, double end) {
        data = data >>> 1 | (long) (sync >>> 15) << 63;
        sync = (sync << 1 | value) & 0xFFFF;
        middle = Double.NaN;
        count++;
        starts[slot(count)] = end;
        if (toCome > 0) {
            toCome--;
            backwards |= (long) value << toCome;
            if (toCome == 0) {
                listener.word(new LtcWord(backwards), startOfWord(), end, true);
            }
        }
        if (sync == SYNC && count >= BITS) {
            listener.word(new LtcWord(data), startOfWord(), end, false);
        } else if (sync == SYNC_BACKWARDS && count >= BITS - DATA_BITS) {
            toCome = DATA_BITS;
            backwards = 0;
        }
    }

    private static int slot(long bit) {
        return (int) (bit % (BITS + 1));
    }

    private double startOfWord() {
        return starts[slot(count - BITS)];
    }
}
