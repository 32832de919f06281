package instep.sound;

import java.io.IOException;

/** The sound of a recording as samples of one channel, from -1 to 1, {@value #RATE} a second, counted from the recording's beginning. */
public interface Heard {
    /** Samples a second: speech has nothing above half of it that tells a place better. */
    int RATE = 16_000;

    /** Who is given samples. */
    interface Listener {
        /** The next samples; the array is used again. */
        void hear(float[] samples, int count);
    }

    /** Gives all samples in their order. */
    void listen(Listener to) throws IOException;

    /**
     * A piece.
     *
     * @param from the first sample; what lies before the beginning or after the end is silent
     */
    float[] piece(long from, int count) throws IOException;
}
