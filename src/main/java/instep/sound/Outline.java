package instep.sound;

import java.util.Arrays;

/** Where a sound sets in: a hundred times a second, how much louder it has become. Gain, and what hums all the time, change nothing in it. Not thread-safe. */
final class Outline implements Heard.Listener {
    /** Samples of one value. */
    static final int STEP = Heard.RATE / 100;
    /** Below that, in dB under full scale, all is silence: the noise of an input sets in nowhere. */
    private static final double SILENCE = -70;

    private float[] values = new float[4_096];
    private int count;
    private double energy;
    private int filled;
    private float before;
    private double last = SILENCE;
    private long samples;

    /** The outline of a whole sound. */
    static Outline of(Heard sound) throws java.io.IOException {
        Outline outline = new Outline();
        sound.listen(outline);
        return outline;
    }

    @Override
    public void hear(float[] heard, int number) {
        samples += number;
        for (int i = 0; i < number; i++) {
            // The difference of neighbours: rumble would drown what tells a place.
            double change = heard[i] - before;
            before = heard[i];
            energy += change * change;
            if (++filled == STEP) {
                add(Math.max(SILENCE, 10 * Math.log10(energy / STEP + 1e-12)));
                filled = 0;
                energy = 0;
            }
        }
    }

    private void add(double level) {
        if (count == values.length) {
            values = Arrays.copyOf(values, 2 * count);
        }
        values[count++] = (float) Math.max(0, level - last);
        last = level;
    }

    /** How many samples there were. */
    long samples() {
        return samples;
    }

    /** The values, with nothing as their mean. */
    float[] values() {
        float[] centred = Arrays.copyOf(values, count);
        double sum = 0;
        for (float value : centred) {
            sum += value;
        }
        float mean = (float) (sum / Math.max(1, count));
        for (int i = 0; i < count; i++) {
            centred[i] -= mean;
        }
        return centred;
    }
}
