package instep.sound;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;

/**
 * A two-pop: one frame of a tone of 1 kHz, by which recordings are laid side by side (common practice, no source).
 *
 * @param at where it begins, in seconds
 * @param seconds how long it is
 * @param level in dB under a full-scale sine
 */
public record TwoPop(double at, double seconds, double level) {
    /** Hears two-pops in what it is given. Not thread-safe. */
    public static final class Ear implements Heard.Listener {
        private static final double PITCH = 1_000;
        /** Ten periods. */
        private static final int WINDOW = Heard.RATE / 100;

        private static final int STEP = 8;
        /** So much of the sound is the tone, as a part of its energy. */
        private static final double PURE = 0.6;

        private static final double FAINTEST = -60;
        /** A frame of 60 to one of 24 a second, and what a room adds. */
        private static final double SHORTEST = 0.012;

        private static final double LONGEST = 0.06;
        /** Before it the tone was fainter by that, in dB: music holds its tones, and does not begin them from nothing. */
        private static final double CONTRAST = 12;
        /** So long before, in steps. */
        private static final int BEFORE = Heard.RATE / 20 / STEP;

        private final double[] real = new double[WINDOW];
        private final double[] imaginary = new double[WINDOW];
        private final double[] energy = new double[WINDOW];
        private final double[] earlier = new double[BEFORE];
        private final List<TwoPop> found = new ArrayList<>();
        private double realSum;
        private double imaginarySum;
        private double energySum;
        private long sample;
        private long step;
        private long began = -1;
        private double levelBefore;
        private double loudest;

        /** Before the beginning all was silent. */
        public Ear() {
            Arrays.fill(earlier, -200);
        }

        @Override
        public void hear(float[] samples, int count) {
            for (int i = 0; i < count; i++) {
                take(samples[i]);
            }
        }

        /** What was found, in its order. */
        public List<TwoPop> found() {
            if (began >= 0) {
                ended();
            }
            return List.copyOf(found);
        }

        private void take(double value) {
            int slot = (int) (sample % WINDOW);
            // A period is a whole number of samples, so the phase comes from a count that never grows inexact.
            double phase = 2 * Math.PI * PITCH * (sample % (Heard.RATE / 1_000)) / Heard.RATE;
            realSum += value * Math.cos(phase) - real[slot];
            imaginarySum += value * Math.sin(phase) - imaginary[slot];
            energySum += value * value - energy[slot];
            real[slot] = value * Math.cos(phase);
            imaginary[slot] = value * Math.sin(phase);
            energy[slot] = value * value;
            sample++;
            if (sample % STEP == 0) {
                judge();
            }
        }

        private void judge() {
            double power = realSum * realSum + imaginarySum * imaginarySum;
            double purity = energySum <= 1e-9 ? 0 : power * 2 / (WINDOW * energySum);
            double level = 20 * Math.log10(2 * Math.sqrt(power) / WINDOW + 1e-9);
            int slot = (int) (step % BEFORE);
            if (purity >= PURE && level > FAINTEST) {
                if (began < 0) {
                    began = sample;
                    levelBefore = earlier[slot];
                    loudest = level;
                }
                loudest = Math.max(loudest, level);
            } else if (began >= 0) {
                ended();
            }
            earlier[slot] = level;
            step++;
        }

        /** In silence a window is pure once the tone fills that part of it; so the tone began and ended by as much earlier. */
        private void ended() {
            double from = began - PURE * WINDOW;
            double to = sample - STEP - (1 - PURE) * WINDOW;
            double seconds = (to - from) / Heard.RATE;
            if (seconds >= SHORTEST && seconds <= LONGEST && loudest - levelBefore >= CONTRAST) {
                found.add(new TwoPop(from / Heard.RATE, seconds, loudest));
            }
            began = -1;
        }
    }
}
