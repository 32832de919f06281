package instep.clock;

import instep.time.FrameRate;
import instep.time.Timecode;
import instep.time.TimecodeLine;
import java.util.ArrayList;
import java.util.List;
import java.util.SplittableRandom;
import org.jspecify.annotations.Nullable;

/**
 * A machine that plays linear timecode, a sound card and a pipe, in virtual time: the words come by the player's clock, samples are counted by the card's, and their pieces arrive late by
 * chance. It knows which frame the player is on at every instant.
 */
final class ChaseRig implements Chase.Listener {
    private static final int SAMPLE_RATE = 48_000;
    private static final long PIECE_NANOS = 20_000_000L;

    private final FrameRate rate;
    private final SplittableRandom random;
    private final double player;
    private final double card;
    private final int step;
    private final SampleClock clock = new SampleClock(SAMPLE_RATE);
    final Chase chase;
    private final LtcRun run;
    final List<Chase.News> news = new ArrayList<>();
    final List<String> troubles = new ArrayList<>();

    @Nullable TimecodeLine line;

    /** The frame that began at the instant {@code cued}, by the player's clock. */
    private long frame;

    private long cued;
    private long words;
    private long now;
    private boolean isPlaying;

    private long frames;
    private long wrongFrames;
    private double worstNanos;

    /**
     * Silent at first.
     *
     * @param player how much the player's clock is fast
     * @param card how much the card's clock is fast
     */
    ChaseRig(FrameRate rate, double player, double card, long seed) {
        this.rate = rate;
        this.player = 1 + player;
        this.card = 1 + card;
        random = new SplittableRandom(seed);
        step = rate.counted() > 30 ? 2 : 1;
        chase = new Chase(rate, 2_000_000_000L, 0, this);
        run = new LtcRun(chase);
    }

    @Override
    public void news(Chase.News what, @Nullable TimecodeLine now, Chase.Quality quality) {
        news.add(what);
        line = now;
    }

    @Override
    public void trouble(String sentence) {
        troubles.add(sentence);
    }

    long now() {
        return now;
    }

    /** From now on (a whole word later, as it were in the middle of one) it plays from that label. */
    void play(Timecode from) {
        frame = from.frame();
        cued = now;
        words = 1;
        isPlaying = true;
    }

    void stop() {
        isPlaying = false;
    }

    /** When a word begins, counted from the cue. */
    private double begins(long word) {
        return cued + (double) (word * step) * rate.denominator() / rate.numerator() * 1e9 / player;
    }

    /** Time passes in pieces of audio until that instant, or until something is told. */
    void run(long until, boolean untilNews) {
        int told = news.size();
        while (now < until && !(untilNews && news.size() > told)) {
            now += PIECE_NANOS;
            piece(now);
        }
    }

    private void piece(long captured) {
        long samples = (long) (captured * 1e-9 * SAMPLE_RATE * card);
        // Mostly a few milliseconds, and now and then the reader was held up.
        double late = -2e6 * Math.log(1 - random.nextDouble()) + (random.nextInt(500) == 0 ? 100e6 : 0);
        long arrival = captured + (long) late;
        clock.arrived(samples, arrival);
        while (isPlaying && begins(words + 1) <= captured) {
            word();
        }
        run.heardUntil(clock.nanosAt((double) samples));
        chase.advanceTo(arrival);
    }

    private void word() {
        double from = begins(words);
        double to = begins(words + 1);
        Timecode label = Timecode.wrapped(rate, frame + words * step);
        run.word(new LtcWord(LtcSignal.word(label)), at(from), at(to), false);
        words++;
        if (chase.isLocked() && line != null) {
            judge(label.frame(), from, to, line);
        }
    }

    private long at(double nanos) {
        // Where a crossing is found in noise.
        double jitter = random.nextDouble() - 0.5;
        return clock.nanosAt(nanos * 1e-9 * SAMPLE_RATE * card + jitter);
    }

    /** Against the truth, in the middle of each frame; and how far off its beginning is. */
    private void judge(long labelled, double from, double to, TimecodeLine line) {
        for (int i = 0; i < step; i++) {
            double middle = from + (to - from) * (i + 0.5) / step;
            Timecode truth = Timecode.wrapped(rate, labelled + i);
            frames++;
            wrongFrames += line.at((long) middle).equals(truth) ? 0 : 1;
        }
        double off = Math.abs(line.nanosAt(line.frameAt((long) (from + (to - from) / step / 2))) - from);
        worstNanos = Math.max(worstNanos, off);
    }

    long frames() {
        return frames;
    }

    long wrongFrames() {
        return wrongFrames;
    }

    /** How far the beginning of a frame was off at worst, in nanoseconds. */
    double worstNanos() {
        return worstNanos;
    }

    /** Forgets how far frames were off. */
    void forgetWorst() {
        worstNanos = 0;
    }

    double framesIn(long nanos) {
        return (double) nanos * rate.numerator() / rate.denominator() / 1e9;
    }
}
