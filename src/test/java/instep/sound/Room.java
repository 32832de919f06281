package instep.sound;

import java.util.Random;

/**
 * Sound that a room has had, made of seeded noise in syllables, as two recorders with clocks of their own have taken it down. Nothing of it comes from the code that looks for it.
 */
final class Room {
    private final float[] source;

    /** So many seconds of somebody who speaks, with pauses. */
    Room(long seed, double seconds) {
        Random random = new Random(seed);
        source = new float[(int) (seconds * Heard.RATE)];
        double low = 0;
        for (int i = 0; i < source.length; ) {
            int length = (int) (Heard.RATE * (0.06 + 0.2 * random.nextDouble()));
            double loud = random.nextInt(6) == 0 ? 0 : 0.05 + 0.25 * random.nextDouble();
            double colour = 0.2 + 0.6 * random.nextDouble();
            for (int end = Math.min(source.length, i + length), from = i; i < end; i++) {
                double swell = Math.sin(Math.PI * (i - from) / length);
                low += colour * (random.nextGaussian() - low);
                source[i] = (float) (loud * swell * low);
            }
        }
    }

    /** What a recorder does to sound. */
    record Recorder(double start, double seconds, double driftPpm, double gain, double noise, long seed) {
        Recorder(double start, double seconds) {
            this(start, seconds, 0, 1, 0, 0);
        }
    }

    /**
     * What a recorder has: it begins at a second of the room's time, and of each second of the room its clock counts as many millionths more as it drifts. A wall gives an echo, which differs with the seed.
     */
    float[] recorded(Recorder by) {
        Random random = new Random(by.seed);
        float[] samples = new float[(int) (by.seconds * Heard.RATE)];
        int echo = 100 + random.nextInt(400);
        for (int i = 0; i < samples.length; i++) {
            double at = by.start * Heard.RATE + i / (1 + by.driftPpm * 1e-6);
            double dry = at(at);
            double wet = by.seed == 0 ? 0 : 0.4 * at(at - echo);
            samples[i] = (float) (by.gain * (dry + wet) + by.noise * random.nextGaussian());
        }
        return samples;
    }

    /** Between samples, by a cubic of Catmull and Rom. */
    private double at(double place) {
        int i = (int) Math.floor(place);
        double t = place - i;
        double a = sample(i - 1);
        double b = sample(i);
        double c = sample(i + 1);
        double d = sample(i + 2);
        return b + 0.5 * t * (c - a + t * (2 * a - 5 * b + 4 * c - d + t * (3 * (b - c) + d - a)));
    }

    private double sample(int i) {
        return i < 0 || i >= source.length ? 0 : source[i];
    }

    /** Adds a tone of so many dB under a full-scale sine. */
    static void tone(float[] samples, double at, double seconds, double pitch, double level) {
        int from = (int) Math.round(at * Heard.RATE);
        for (int i = 0; i < (int) Math.round(seconds * Heard.RATE); i++) {
            samples[from + i] += (float) (Math.pow(10, level / 20) * Math.sin(2 * Math.PI * pitch * i / Heard.RATE));
        }
    }

    /** Samples that are there already. */
    static Heard heard(float[] samples) {
        return new Heard() {
            @Override
            public void listen(Listener to) {
                for (int from = 0; from < samples.length; from += 1_000) {
                    int count = Math.min(1_000, samples.length - from);
                    float[] block = new float[1_000];
                    System.arraycopy(samples, from, block, 0, count);
                    to.hear(block, count);
                }
            }

            @Override
            public float[] piece(long from, int count) {
                float[] piece = new float[count];
                for (int i = 0; i < count; i++) {
                    long at = from + i;
                    piece[i] = at < 0 || at >= samples.length ? 0 : samples[(int) at];
                }
                return piece;
            }
        };
    }
}
