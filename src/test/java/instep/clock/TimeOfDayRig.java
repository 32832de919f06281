package instep.clock;

import instep.time.FrameRate;
import instep.time.TimecodeLine;
import java.math.BigInteger;
import java.time.ZoneOffset;
import java.util.SplittableRandom;

/**
 * A machine whose clock is not quite right and is read with jitter, and a recorder that knows the time, in virtual time. What the recorder's label must be is worked out here
 * from whole numbers alone, apart from the code under test: its frames by the fraction of the rate, its labels by counting on one by one and leaving out those that drop-frame
 * counting leaves out (SMPTE ST 12-1: the first two, or four, of each minute that is no multiple of ten).
 */
final class TimeOfDayRig {
    private static final long SECOND = 1_000_000_000L;
    private static final BigInteger NANOS = BigInteger.valueOf(SECOND);
    /** The wall clock shows so much more than the monotonic one. */
    private static final long SINCE_BOOT = 1_790_000_000L * SECOND + 123_456_789L;
    /** A client of a time server corrects so often, and is wrong by that much at most. */
    private static final long POLL_NANOS = 64 * SECOND;

    private static final long WRONG_NANOS = 4_000_000L;
    private static final long MOST_PPB = 50_000;
    private static final double LATE_NANOS = 2e3;
    private static final double HELD_UP_NANOS = 5e6;

    private final FrameRate rate;
    private final boolean isKept;
    private final SplittableRandom random;
    private final WallClock wall;
    private final TimeOfDay source;

    /** Truth and the monotonic clock when its speed changed last, and by how many billionths it has been fast since then. */
    private long turnedTruth;

    private long turnedMono;
    private long ppb;
    private long reading;
    /** What somebody has set the wall clock by. */
    private long set;

    private long frames;
    private long worst;

    /**
     * A machine.
     *
     * @param isKept a time server keeps its clock, and the recorder has the true time; else the clock is 50 ppm fast or slow all day, and the recorder is set by it when a take begins
     */
    TimeOfDayRig(FrameRate rate, boolean isKept, int sign, long seed) {
        this.rate = rate;
        this.isKept = isKept;
        random = new SplittableRandom(seed);
        ppb = sign * MOST_PPB;
        wall = new WallClock(this::read, () -> read() + SINCE_BOOT + set);
        source = new TimeOfDay(rate, ZoneOffset.UTC, wall::wallAt);
    }

    /** Each reading takes its time, and sometimes the thread is put aside. */
    private long read() {
        double takes = -LATE_NANOS * Math.log(1 - random.nextDouble()) + (random.nextInt(50) == 0 ? HELD_UP_NANOS : 0);
        reading += (long) takes;
        return reading;
    }

    /** What the monotonic clock shows at a true instant, not before the last one asked for. */
    private long monoAt(long truth) {
        while (isKept && truth >= turnedTruth + POLL_NANOS) {
            long next = turnedTruth + POLL_NANOS;
            turnedMono = monoWithin(next);
            turnedTruth = next;
            long aim = random.nextLong(-WRONG_NANOS, WRONG_NANOS) - (turnedMono - turnedTruth);
            ppb = Math.max(-MOST_PPB, Math.min(MOST_PPB, aim * SECOND / POLL_NANOS));
        }
        return monoWithin(truth);
    }

    private long monoWithin(long truth) {
        long since = truth - turnedTruth;
        return turnedMono + since + Math.floorDiv(since / 1_000 * ppb, 1_000_000L);
    }

    /** A take from one true instant to another, about so many looks at it; the clock is set by an hour in the middle of it. */
    void take(long from, long to, int looks) {
        long begun = monoAt(from);
        reading = begun;
        wall.measure(begun, 1_000_000L);
        TimecodeLine line = source.lineThrough(begun);
        long shows = SINCE_BOOT + set + (isKept ? from : begun);
        Recorder recorder = new Recorder(rate, from, shows);
        for (long at = from; at < to; at += 1 + random.nextLong(2 * (to - from) / looks)) {
            judge(line, recorder, at);
            set += at > (from + to) / 2 && set % 2 == 0 ? 3_600 * SECOND + 1 : 0;
        }
        set = 0;
    }

    private void judge(TimecodeLine line, Recorder recorder, long truth) {
        long mono = monoAt(truth);
        recorder.runTo(truth);
        frames++;
        worst = Math.max(worst, recorder.distance(line.at(mono).toString()));
    }

    long looks() {
        return frames;
    }

    /** By how many frames a label was off. */
    long worstFrames() {
        return worst;
    }

    /** A recorder that is set once, and counts. */
    private static final class Recorder {
        private static final int AROUND = 10;

        private final FrameRate rate;
        /** When the second began of whose time it was set. */
        private final long began;

        /** Before and after its own, as far as anybody looks. */
        private final int[][] labels = new int[2 * AROUND + 1][];

        private long frame;
        private int current;

        Recorder(FrameRate rate, long from, long shows) {
            this.rate = rate;
            began = from - Math.floorMod(shows, SECOND);
            long second = Math.floorMod(Math.floorDiv(shows, SECOND), 86_400L);
            int[] label = {(int) (second / 3600), (int) (second / 60 % 60), (int) (second % 60), 0};
            if (isSkipped(label)) {
                label[3] = rate.dropped();
            }
            // The labels after it, to begin with; it stands in the middle when the same number has been counted.
            labels[0] = label;
            for (int i = 1; i < labels.length; i++) {
                labels[i] = next(labels[i - 1]);
            }
            frame = AROUND;
        }

        private boolean isSkipped(int[] label) {
            return label[3] < rate.dropped() && label[2] == 0 && label[1] % 10 != 0;
        }

        private int[] next(int[] label) {
            int[] next = label.clone();
            if (++next[3] == rate.counted()) {
                next[3] = 0;
                next[2]++;
            }
            for (int i = 2; i > 0 && next[i] == 60; i--) {
                next[i] = 0;
                next[i - 1]++;
            }
            next[0] %= 24;
            if (isSkipped(next)) {
                next[3] = rate.dropped();
            }
            return next;
        }

        /** Counts on to the frame that holds a true instant. */
        void runTo(long truth) {
            BigInteger since = BigInteger.valueOf(truth - began).multiply(BigInteger.valueOf(rate.numerator()));
            long due = since.divide(NANOS.multiply(BigInteger.valueOf(rate.denominator())))
                    .longValueExact();
            for (; frame < due; frame++) {
                System.arraycopy(labels, 1, labels, 0, labels.length - 1);
                labels[labels.length - 1] = next(labels[labels.length - 2]);
            }
            current = (int) (due - frame) + AROUND;
        }

        /** How many frames before or after its own that label is; more than it looks for is a day. */
        long distance(String said) {
            for (int i = 0; i < labels.length; i++) {
                if (text(labels[i]).equals(said)) {
                    return Math.abs(i - current);
                }
            }
            return 86_400L * rate.counted();
        }

        private String text(int[] label) {
            StringBuilder text = new StringBuilder(11);
            for (int i = 0; i < label.length; i++) {
                text.append(i == 0 ? "" : i == 3 && rate.isDropFrame() ? ";" : ":");
                text.append((char) ('0' + label[i] / 10)).append((char) ('0' + label[i] % 10));
            }
            return text.toString();
        }
    }
}
