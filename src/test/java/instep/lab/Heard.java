package instep.lab;

import java.io.IOException;
import java.nio.ByteBuffer;
import java.nio.ByteOrder;
import java.nio.ShortBuffer;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.stream.IntStream;

/** What {@code ear} heard on one side, left or right: 48,000 samples a second of 16 bits. */
final class Heard {
    private static final double HERTZ = 48_000;
    private static final double NANOS = 1e9;
    /** Of 16 bits; AES17 counts levels from a sine with such peaks. */
    private static final double FULL_SCALE = 32_767;
    /** Longer than half a period of every tone here, shorter than the silence between two sounds. */
    private static final int PAUSE = 480;

    private final short[] samples;
    private final long began;

    private Heard(short[] samples, long began) {
        this.samples = samples;
        this.began = began;
    }

    /** @param side 0 is left, 1 is right */
    static Heard read(LabJob job, String output, int side) throws IOException {
        Path file = job.folder().resolve("heard-" + output + ".pcm");
        ShortBuffer both = ByteBuffer.wrap(Files.readAllBytes(file))
                .order(ByteOrder.LITTLE_ENDIAN)
                .asShortBuffer();
        short[] samples = new short[both.remaining() / 2];
        for (int i = 0; i < samples.length; i++) {
            samples[i] = both.get(2 * i + side);
        }
        String[] times = job.lines("heard-" + output + ".began").get(0).split(" ", 2);
        return new Heard(samples, Long.parseLong(times[0]));
    }

    /** All that is not silence, from its first sample that is not zero to its last. */
    List<Heard> sounds() {
        List<Heard> sounds = new ArrayList<>();
        int[] loud = IntStream.range(0, samples.length)
                .filter(at -> samples[at] != 0)
                .toArray();
        int first = 0;
        for (int i = 1; i <= loud.length; i++) {
            if (i == loud.length || loud[i] - loud[i - 1] > PAUSE) {
                sounds.add(new Heard(
                        Arrays.copyOfRange(samples, loud[first], loud[i - 1] + 1),
                        began + Math.round(loud[first] * NANOS / HERTZ)));
                first = i;
            }
        }
        return sounds;
    }

    /** The monotonic time of the first sample, in nanoseconds. */
    long began() {
        return began;
    }

    boolean isLike(Heard other) {
        return Arrays.equals(samples, other.samples);
    }

    double millis() {
        return samples.length / HERTZ * 1_000;
    }

    /** The pitch in hertz, by the time from the first way up through the middle line to the last; 0 if there are not two. */
    double hertz() {
        double[] up = IntStream.range(1, samples.length)
                .filter(at -> samples[at - 1] <= 0 && samples[at] > 0)
                .mapToDouble(at -> at - samples[at] / (double) (samples[at] - samples[at - 1]))
                .toArray();
        return up.length < 2 ? 0 : (up.length - 1) * HERTZ / (up[up.length - 1] - up[0]);
    }

    /** In decibels to full scale. */
    double peak() {
        return decibels(IntStream.range(0, samples.length)
                .map(at -> Math.abs(samples[at]))
                .max()
                .orElse(0));
    }

    /** The root of the mean square, in decibels to full scale; for a sine it lies 3.01 below the peak. */
    double rms() {
        return decibels(Math.sqrt(IntStream.range(0, samples.length)
                .mapToDouble(at -> (double) samples[at] * samples[at])
                .average()
                .orElse(0)));
    }

    private static double decibels(double value) {
        return 20 * Math.log10(value / FULL_SCALE);
    }
}
