package instep.sound;

import java.util.ArrayList;
import java.util.List;

/** Hears where nobody speaks: where the level stays below a threshold for a time. Not thread-safe. */
public final class Silences implements Heard.Listener {
    /** A hundredth of a second. */
    private static final int STEP = Heard.RATE / 100;

    /** A stretch, in nanoseconds from the beginning of the sound. */
    public record Silence(long from, long to) {}

    private final double threshold;
    private final long shortest;
    private final List<Silence> found = new ArrayList<>();
    private double energy;
    private int filled;
    private long step;
    private long since = -1;

    /**
     * Listens.
     *
     * @param decibels the level under full scale (of a square wave) below which it is silent, such as -40
     * @param shortest nanoseconds
     */
    public Silences(double decibels, long shortest) {
        this.threshold = Math.pow(10, decibels / 10);
        this.shortest = shortest;
    }

    @Override
    public void hear(float[] samples, int count) {
        for (int i = 0; i < count; i++) {
            energy += samples[i] * (double) samples[i];
            if (++filled == STEP) {
                judge(energy / STEP < threshold);
                filled = 0;
                energy = 0;
            }
        }
    }

    private void judge(boolean silent) {
        if (silent && since < 0) {
            since = step;
        } else if (!silent) {
            ended();
        }
        step++;
    }

    private void ended() {
        Silence silence = new Silence(nanos(since), nanos(step));
        if (since >= 0 && silence.to - silence.from >= shortest) {
            found.add(silence);
        }
        since = -1;
    }

    private static long nanos(long steps) {
        return steps * 10_000_000L;
    }

    /** What was found, in its order. */
    public List<Silence> found() {
        ended();
        return List.copyOf(found);
    }
}
