package instep.clock;

import instep.time.FrameRate;
import instep.time.Timecode;
import java.util.Optional;
import org.jspecify.annotations.Nullable;

/** The words of linear timecode on their way to a {@link Chase}: a tape that runs backwards is not followed, nor are words that count otherwise than the rate. Not thread-safe. */
final class LtcRun {
    /** Words that have to count on before they are believed. */
    private static final int LOCK_WORDS = 3;
    /** Words that may be missing before it is said. */
    private static final int QUIET_WORDS = 4;

    private final Chase chase;
    private final FrameRate rate;
    private final WordRun run;
    private final LabelFit fit;
    private @Nullable LtcWord before;
    private boolean isDistrusted;

    LtcRun(Chase chase) {
        this.chase = chase;
        rate = chase.rate();
        run = new WordRun(chase, rate.counted() > 30 ? 2 : 1, LOCK_WORDS, QUIET_WORDS);
        fit = new LabelFit(rate);
    }

    /** Words a second at normal speed: the rate of frames, or half of it above 30. */
    double wordRate() {
        return 1e9 / run.wordNanos();
    }

    /** A word has been read that began and ended at these instants. */
    void word(LtcWord word, long begins, long ends, boolean backwards) {
        LtcWord last = before;
        before = word;
        if (backwards) {
            run.breakOff();
            chase.complain("backwards", "it runs backwards, which is not followed");
            return;
        }
        Optional<Timecode> read = word.label(rate);
        if (read.isEmpty()) {
            run.breakOff();
            fit.misfit(last, word).ifPresent(this::distrust);
            return;
        }
        fit.fits();
        if (run.count(read.get(), begins) && last != null) {
            second(last, word);
        }
        run.place(read.get().frame(), begins, ends, !isDistrusted);
    }

    private void second(LtcWord last, LtcWord word) {
        if (fit.isRightSecond(last, word)) {
            isDistrusted = false;
        } else {
            fit.wrongSecond(last, word).ifPresent(this::distrust);
        }
    }

    /** Words of another rate are let go until a second has the right number of them. */
    private void distrust(String why) {
        isDistrusted = true;
        chase.complain(why, why + ", and the configuration says " + rate.label());
    }

    /** The signal is known up to that instant: what words there were have been told. */
    void heardUntil(long nanos) {
        run.heardUntil(nanos);
    }

    /** There is no signal any more. */
    void silent(long nanos) {
        run.silent(nanos);
    }
}
