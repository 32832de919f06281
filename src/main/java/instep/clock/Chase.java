package instep.clock;

import instep.time.FrameRate;
import instep.time.Timecode;
import instep.time.TimecodeLine;
import java.util.Locale;
import java.util.Optional;
import org.jspecify.annotations.Nullable;

/**
 * Follows the words of linear timecode and tells the straight lines that come from them. It locks on {@link #LOCK_WORDS} words that count on and come in time, and then keeps its
 * line as long as the words lie on it: they may be off by {@link #SLACK} of a frame before a new line is drawn. When words stay away for {@link #QUIET_WORDS} it goes on by itself at the exact rate
 * (it freewheels), and after a set time more the timecode is lost, though its line goes on. Words that count on at another place are a jump. A tape that runs backwards is not followed, nor
 * are words that count otherwise than the rate. Time is an argument: monotonic, in nanoseconds. Not thread-safe.
 */
public final class Chase {
    /** What has become of the timecode. */
    public enum News {
        /** Words were locked on. */
        LOCKED("locked"),
        /** The clock of the words has drifted, and the line with it. */
        FOLLOWS("follows"),
        /** The words go on at another place. */
        JUMPED("jumped"),
        /** The words stay away, and the line goes on. */
        FREEWHEELING("freewheeling"),
        /** They have stayed away for too long; the line still goes on. */
        LOST("lost");

        private final String word;

        News(String word) {
            this.word = word;
        }

        /** The word for it in the journal, and the last part of the event. */
        public String word() {
            return word;
        }

        /** The news of that word; empty if there is none. */
        public static Optional<News> named(String word) {
            for (News news : values()) {
                if (news.word.equals(word)) {
                    return Optional.of(news);
                }
            }
            return Optional.empty();
        }
    }

    /** Who is told. */
    public interface Listener {
        /** The line that holds from now on; null as long as there has been no word to draw one from. */
        void news(News news, @Nullable TimecodeLine line);

        /** Why words are not followed, in a sentence; each once until they are. */
        void trouble(String sentence);
    }

    /** Words that have to count on before they are believed. */
    static final int LOCK_WORDS = 3;
    /** Words that may be missing before it is said. */
    static final int QUIET_WORDS = 4;
    /** Part of a frame by which the words may be off the line. */
    static final double SLACK = 1 / 50.0;

    private static final double FAR = 1 / 4.0;
    private static final long SECOND = 1_000_000_000L;
    /** Parts of the error by which the next word's time and the length of a word are corrected: critically damped. */
    private static final double AGILITY = 0.3;

    private static final double SPEED_AGILITY = 0.05;
    /** Part of a word by which a word may come too early or too late. */
    private static final double IN_TIME = 0.25;
    /** Words over which the speed is measured, and how far it may be off. */
    private static final int SPEED_WORDS = 256;

    private static final double SPEED_OFF = 500e-6;

    private final FrameRate rate;
    private final int step;
    private final double frameNanos;
    private final long freewheelNanos;
    private final Listener listener;
    private final LabelFit fit;

    private boolean isLocked;
    private @Nullable TimecodeLine line;
    private long lineSince;
    private long lastGood;
    private long lostAt;

    private @Nullable LtcWord before;
    private @Nullable Timecode label;
    private int run;
    private double estimate;
    private double length;
    private long speedFrame;
    private double speedStart;
    private boolean isDistrusted;
    private @Nullable String told;

    /**
     * One that has heard nothing.
     *
     * @param freewheelNanos how long words may stay away before the timecode is lost; at first, too
     * @param now the instant at which it begins to listen
     */
    public Chase(FrameRate rate, long freewheelNanos, long now, Listener listener) {
        this.rate = rate;
        this.freewheelNanos = freewheelNanos;
        this.listener = listener;
        step = rate.counted() > 30 ? 2 : 1;
        frameNanos = (double) SECOND * rate.denominator() / rate.numerator();
        length = step * frameNanos;
        lostAt = now + freewheelNanos;
        fit = new LabelFit(rate);
    }

    /** Words a second at normal speed: the rate of frames, or half of it above 30. */
    public double wordRate() {
        return SECOND / (step * frameNanos);
    }

    /** How long a frame lasts. */
    double frameNanos() {
        return frameNanos;
    }

    /** A word has been read that began and ended at these instants. */
    public void word(LtcWord word, long begins, long ends, boolean backwards) {
        LtcWord last = before;
        before = word;
        if (backwards) {
            run = 0;
            complain("backwards", "it runs backwards, which is not followed");
            return;
        }
        Optional<Timecode> read = word.label(rate);
        if (read.isEmpty()) {
            run = 0;
            fit.misfit(last, word).ifPresent(this::distrust);
            return;
        }
        fit.fits();
        if (count(read.get(), begins) && last != null) {
            second(last, word);
        }
        place(read.get().frame(), begins, ends);
    }

    /** How many words have counted on, and where they begin but for their jitter. Returns whether this one follows in time on the one before. */
    private boolean count(Timecode read, long begins) {
        double off = begins - estimate - length;
        boolean isInTime = Math.abs(off) < step * frameNanos * IN_TIME;
        boolean goesOn = isInTime && run > 0 && label != null && read.equals(label.plus(step));
        label = read;
        if (goesOn) {
            run++;
            estimate += length + off * Math.max(AGILITY, 1.0 / run);
            length += off * SPEED_AGILITY;
        } else {
            run = 1;
            estimate = begins;
            length = step * frameNanos;
        }
        return isInTime;
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
        complain(why, why + ", and the configuration says " + rate.label());
    }

    private void place(long frameOfDay, long begins, long ends) {
        long frame = nearest(frameOfDay, begins);
        boolean lies =
                isLocked && !isDistrusted && line != null && Math.abs(begins - line.nanosAt(frame)) < frameNanos / 2;
        boolean counts = run >= LOCK_WORDS && !isDistrusted;
        if (lies || counts) {
            lastGood = Math.max(lastGood, ends);
        }
        if (counts) {
            measure(frame);
            settleOn(new TimecodeLine(rate, Math.round(estimate), frame), ends);
        }
    }

    /** Frames are counted on over midnight. */
    private long nearest(long frameOfDay, long nanos) {
        if (line == null) {
            return frameOfDay;
        }
        long day = rate.framesPerDay();
        return frameOfDay + Math.round((double) (line.frameAt(nanos) - frameOfDay) / day) * day;
    }

    private void settleOn(TimecodeLine fresh, long at) {
        TimecodeLine old = line;
        double off = old == null ? 0 : Math.abs(fresh.anchorNanos() - old.nanosAt(fresh.anchorFrame()));
        boolean isElsewhere = off > frameNanos / 2;
        if (old == null || !isLocked) {
            boolean wasLost = lostAt == Long.MAX_VALUE;
            draw(old == null || wasLost || !isElsewhere ? News.LOCKED : News.JUMPED, fresh, at);
        } else if (isElsewhere) {
            draw(News.JUMPED, fresh, at);
        } else if (off > frameNanos * (at - lineSince < SECOND ? FAR : SLACK)) {
            draw(News.FOLLOWS, fresh, at);
        }
    }

    private void draw(News news, TimecodeLine fresh, long at) {
        if (news == News.LOCKED) {
            told = null;
        }
        isLocked = true;
        lostAt = Long.MAX_VALUE;
        line = fresh;
        lineSince = at;
        listener.news(news, fresh);
    }

    /** Rates that are only a thousandth apart differ in nothing but this. */
    private void measure(long frame) {
        int words = run - LOCK_WORDS;
        if (words % SPEED_WORDS == 0) {
            double off = (estimate - speedStart) / ((frame - speedFrame) * frameNanos) - 1;
            if (words > 0 && Math.abs(off) > SPEED_OFF) {
                String sentence = String.format(
                        Locale.ROOT,
                        "it runs %.2f %% too %s for %s: is it of another rate?",
                        Math.abs(off) * 100,
                        off > 0 ? "slowly" : "fast",
                        rate.label());
                complain("speed", sentence);
            }
            speedFrame = frame;
            speedStart = estimate;
        }
    }

    /** The signal is known up to that instant: what words there were have been told. */
    public void heardUntil(long nanos) {
        if (isLocked && nanos - lastGood > QUIET_WORDS * step * frameNanos) {
            silent(nanos);
        }
    }

    /** There is no signal any more. */
    public void silent(long nanos) {
        run = 0;
        if (isLocked) {
            isLocked = false;
            lostAt = nanos + freewheelNanos;
            listener.news(News.FREEWHEELING, line);
        }
    }

    /** Tells what is due until that instant. */
    public void advanceTo(long nanos) {
        if (!isLocked && nanos >= lostAt) {
            lostAt = Long.MAX_VALUE;
            listener.news(News.LOST, line);
        }
    }

    /** Whether words are being followed. */
    public boolean isLocked() {
        return isLocked;
    }

    /** When {@link #advanceTo} has something to tell; {@link Long#MAX_VALUE}: not by itself. */
    public long nextDeadline() {
        return isLocked ? Long.MAX_VALUE : lostAt;
    }

    private void complain(String about, String sentence) {
        if (!about.equals(told)) {
            told = about;
            listener.trouble(sentence);
        }
    }
}
