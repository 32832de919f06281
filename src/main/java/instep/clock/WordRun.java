package instep.clock;

import instep.time.FrameRate;
import instep.time.Timecode;
import instep.time.TimecodeLine;
import java.util.Locale;
import org.jspecify.annotations.Nullable;

/**
 * Words of timecode that come one after the other at a steady pace, each a set number of frames after the one before: they lock a {@link Chase} when enough of
 * them count on and come in time, and keep it as long as they lie on its line. Not thread-safe.
 */
final class WordRun {
    /** Parts of the error by which the next word's time and the length of a word are corrected: critically damped. */
    private static final double AGILITY = 0.3;

    private static final double SPEED_AGILITY = 0.05;
    /** Part of a word by which a word may come too early or too late. */
    private static final double IN_TIME = 0.25;
    /** Words over which the speed is measured, and how far it may be off. */
    private static final int SPEED_WORDS = 256;

    private static final double SPEED_OFF = 500e-6;

    private final Chase chase;
    private final FrameRate rate;
    private final int step;
    private final double nominal;
    private final int lockWords;
    private final double quietNanos;

    private @Nullable Timecode label;
    private int run;
    private double estimate;
    private double length;
    private double jitter;
    private long speedFrame;
    private double speedStart;

    /**
     * Before the first word.
     *
     * @param step how many frames a word lasts
     * @param lockWords how many words have to count on before they are believed
     * @param quietWords how many words may be missing before it is said
     */
    WordRun(Chase chase, int step, int lockWords, double quietWords) {
        this.chase = chase;
        this.step = step;
        this.lockWords = lockWords;
        rate = chase.rate();
        nominal = step * chase.frameNanos();
        length = nominal;
        quietNanos = quietWords * nominal;
    }

    /** How long a word lasts at normal speed. */
    double wordNanos() {
        return nominal;
    }

    /** So long no word may come before it is said. */
    double quietNanos() {
        return quietNanos;
    }

    /** Whether no word has come that the next one could follow on. */
    boolean isBroken() {
        return run == 0;
    }

    /** The words that come next do not follow on those before. */
    void breakOff() {
        run = 0;
    }

    /** How many words have counted on, and where they begin but for their jitter. Returns whether this one follows in time on the one before. */
    boolean count(Timecode read, long begins) {
        double off = begins - estimate - length;
        boolean isInTime = Math.abs(off) < nominal * IN_TIME;
        boolean goesOn = isInTime && run > 0 && label != null && read.equals(label.plus(step));
        label = read;
        if (goesOn) {
            run++;
            estimate += length + off * Math.max(AGILITY, 1.0 / run);
            length += off * SPEED_AGILITY;
            jitter += (Math.abs(off) - jitter) * SPEED_AGILITY;
        } else {
            run = 1;
            estimate = begins;
            length = nominal;
        }
        return isInTime;
    }

    /** The word that was counted last, from where to where; {@code isTrusted}: words like it are followed. */
    void place(long frameOfDay, long begins, long ends, boolean isTrusted) {
        long frame = chase.nearest(frameOfDay, begins);
        boolean counts = run >= lockWords && isTrusted;
        if (counts || (isTrusted && chase.lies(frame, begins))) {
            chase.heard(ends);
        }
        if (counts) {
            measure(frame);
            chase.settleOn(new TimecodeLine(rate, Math.round(estimate), frame), ends, Chase.SLACK, jitter);
        }
    }

    /** Rates that are only a thousandth apart differ in nothing but this. */
    private void measure(long frame) {
        int words = run - lockWords;
        if (words % SPEED_WORDS == 0) {
            double off = (estimate - speedStart) / ((frame - speedFrame) * chase.frameNanos()) - 1;
            if (words > 0) {
                chase.runs(Math.round(-off * 1e6));
            }
            if (words > 0 && Math.abs(off) > SPEED_OFF) {
                String sentence = String.format(
                        Locale.ROOT,
                        "it runs %.2f %% too %s for %s: is it of another rate?",
                        Math.abs(off) * 100,
                        off > 0 ? "slowly" : "fast",
                        rate.label());
                chase.complain("speed", sentence);
            }
            speedFrame = frame;
            speedStart = estimate;
        }
    }

    /** The signal is known up to that instant: what words there were have been told. */
    void heardUntil(long nanos) {
        if (chase.isLocked()) {
            chase.heardUntil(nanos, quietNanos);
            if (!chase.isLocked()) {
                run = 0;
            }
        }
    }

    /** There is no signal any more. */
    void silent(long nanos) {
        run = 0;
        chase.silent(nanos);
    }
}
