package instep.clock;

import java.util.ArrayList;
import java.util.HashSet;
import java.util.List;
import java.util.Set;
import java.util.SplittableRandom;

/**
 * What a recorded signal has gone through.
 *
 * @param bits of a sample
 * @param gain in dB
 * @param polarity 1, or -1: the wires are crossed
 * @param noise how far it lies below the signal, in dB
 * @param speed of the tape, and by what part that goes up and down ({@code wow})
 */
record Suffering(
        String rate,
        int sampleRate,
        int bits,
        boolean isBackwards,
        int gain,
        int polarity,
        int noise,
        double speed,
        double wow) {
    private static final List<List<?>> VALUES = List.of(
            List.of("24", "25", "29.97-drop", "30"),
            List.of(44_100, 48_000, 88_200, 96_000),
            List.of(16, 24),
            List.of(false, true),
            List.of(0, -30),
            List.of(1, -1),
            List.of(200, 20),
            List.of(0.9, 1.0, 1.1),
            List.of(0.0, 0.01));
    private static final int TRIES = 300;
    private static final double WOW_SECONDS = 0.4;

    private static Suffering of(int[] choice) {
        Object[] chosen = new Object[choice.length];
        for (int i = 0; i < choice.length; i++) {
            chosen[i] = VALUES.get(i).get(choice[i]);
        }
        return new Suffering(
                (String) chosen[0],
                (Integer) chosen[1],
                (Integer) chosen[2],
                (Boolean) chosen[3],
                (Integer) chosen[4],
                (Integer) chosen[5],
                (Integer) chosen[6],
                (Double) chosen[7],
                (Double) chosen[8]);
    }

    /** Every combination. */
    static List<Suffering> all() {
        List<Suffering> all = new ArrayList<>();
        int[] choice = new int[VALUES.size()];
        int at;
        do {
            all.add(of(choice));
            at = 0;
            while (at < choice.length && ++choice[at] == VALUES.get(at).size()) {
                choice[at++] = 0;
            }
        } while (at < choice.length);
        return all;
    }

    /** A few, in which every value stands together with every other: each time that of many which adds the most. */
    static List<Suffering> pairs(long seed) {
        SplittableRandom random = new SplittableRandom(seed);
        List<Suffering> all = all();
        List<Suffering> chosen = new ArrayList<>();
        Set<String> missing = uncovered(chosen);
        while (!missing.isEmpty()) {
            Suffering best = all.get(0);
            int most = -1;
            for (int i = 0; i < TRIES; i++) {
                Suffering one = all.get(random.nextInt(all.size()));
                int adds =
                        (int) one.covered().stream().filter(missing::contains).count();
                if (adds > most) {
                    most = adds;
                    best = one;
                }
            }
            chosen.add(best);
            missing.removeAll(best.covered());
        }
        return chosen;
    }

    /** The pairs of values that none of these has. */
    static Set<String> uncovered(List<Suffering> some) {
        Set<String> pairs = new HashSet<>();
        for (int i = 0; i < VALUES.size(); i++) {
            for (int j = 0; j < i; j++) {
                for (Object one : VALUES.get(i)) {
                    for (Object other : VALUES.get(j)) {
                        pairs.add(pair(i, one, j, other));
                    }
                }
            }
        }
        some.forEach(one -> pairs.removeAll(one.covered()));
        return pairs;
    }

    private Set<String> covered() {
        Object[] mine = {rate, sampleRate, bits, isBackwards, gain, polarity, noise, speed, wow};
        Set<String> pairs = new HashSet<>();
        for (int i = 0; i < mine.length; i++) {
            for (int j = 0; j < i; j++) {
                pairs.add(pair(i, mine[i], j, mine[j]));
            }
        }
        return pairs;
    }

    private static String pair(int i, Object one, int j, Object other) {
        return i + "=" + one + " " + j + "=" + other;
    }

    /** What has become of that signal. */
    double[] of(double[] clean) {
        double[] signal = isBackwards ? LtcSignal.backwards(clean) : clean;
        signal = LtcSignal.scaled(signal, polarity * Math.pow(10, gain / 20.0), 0.02);
        signal = LtcSignal.played(signal, speed, wow, (int) (WOW_SECONDS * sampleRate));
        signal = LtcSignal.noisy(signal, noise, 7);
        double steps = 1 << (bits - 1);
        for (int i = 0; i < signal.length; i++) {
            signal[i] = Math.max(-1, Math.min(1 - 1 / steps, Math.rint(signal[i] * steps) / steps));
        }
        return signal;
    }
}
