package instep.clock;

import instep.time.FrameRate;
import instep.time.TimecodeLine;
import java.util.Optional;
import org.jspecify.annotations.Nullable;

/**
 * Follows timecode from outside: holds the straight line that comes from it, and tells what becomes of it. It locks on a line that a reader of words or reports is sure of, and keeps it
 * as long as later ones lie on it. When nothing is heard any more it goes on by itself at the exact rate (it freewheels), and after a set time more the timecode is lost, though its line goes
 * on. A line that lies elsewhere is a jump. Time is an argument: monotonic, in nanoseconds. Not thread-safe.
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

    /**
     * How well a line is known when it is told.
     *
     * @param ageNanos how long ago it was that something lay on it
     * @param uncertaintyNanos a frame begins at most so much earlier or later
     * @param ratePpm by how many millionths timecode runs faster than the monotonic clock; null: not measured yet
     */
    public record Quality(
            long ageNanos, long uncertaintyNanos, @Nullable Long ratePpm) {
        /** Nothing is known. */
        static final Quality NONE = new Quality(-1, -1, null);
    }

    /** Who is told. */
    public interface Listener {
        /** The line that holds from now on; null as long as there has been nothing to draw one from. */
        void news(News news, @Nullable TimecodeLine line, Quality quality);

        /** Why what comes in is not followed, in a sentence; each once until it is. */
        void trouble(String sentence);
    }

    /** Part of a frame by which what is steady may be off the line. */
    static final double SLACK = 1 / 50.0;

    private static final double FAR = 1 / 4.0;
    private static final long SECOND = 1_000_000_000L;
    /** Two crystals part by less, while nobody looks. */
    private static final double DRIFT = 100e-6;

    private final FrameRate rate;
    private final double frameNanos;
    private final long freewheelNanos;
    private final Listener listener;

    private boolean isLocked;
    private @Nullable TimecodeLine line;
    private long lineSince;
    private long lastGood;
    private long lostAt;
    /** Of the line; a new one that is no further off is the same place. */
    private long uncertainty;

    private @Nullable Long ratePpm;
    private @Nullable String told;

    /**
     * One that has heard nothing.
     *
     * @param freewheelNanos how long nothing may be heard before the timecode is lost; at first, too
     * @param now the instant at which it begins to listen
     */
    public Chase(FrameRate rate, long freewheelNanos, long now, Listener listener) {
        this.rate = rate;
        this.freewheelNanos = freewheelNanos;
        this.listener = listener;
        frameNanos = (double) SECOND * rate.denominator() / rate.numerator();
        lostAt = now + freewheelNanos;
    }

    FrameRate rate() {
        return rate;
    }

    /** How long a frame lasts. */
    double frameNanos() {
        return frameNanos;
    }

    /** The frame that a label stands for at that instant; frames are counted on over midnight. */
    long nearest(long frameOfDay, long nanos) {
        if (line == null) {
            return frameOfDay;
        }
        long day = rate.framesPerDay();
        return frameOfDay + Math.round((double) (line.frameAt(nanos) - frameOfDay) / day) * day;
    }

    /** Whether it follows a line on which that frame begins then, to half a frame. */
    boolean lies(long frame, long begins) {
        return isNear(frame, begins, Math.round(frameNanos / 2) - 1);
    }

    /** Whether it follows a line that is at most so far from that frame then. */
    boolean isNear(long frame, long nanos, long mostNanos) {
        return isLocked && line != null && Math.abs(nanos - line.nanosAt(frame)) <= mostNanos;
    }

    /** What was heard at that instant lay on the line, or soon will. */
    void heard(long nanos) {
        lastGood = Math.max(lastGood, nanos);
    }

    /** How fast it runs, as was just measured. */
    void runs(long ppm) {
        ratePpm = ppm;
    }

    /**
     * That line is certain now.
     *
     * @param slack the part of a frame by which it may be off the line that is followed before that one is given up
     * @param uncertaintyNanos how well its frames' beginnings are known
     */
    void settleOn(TimecodeLine fresh, long at, double slack, double uncertaintyNanos) {
        TimecodeLine old = line;
        double off = old == null ? 0 : Math.abs(fresh.anchorNanos() - old.nanosAt(fresh.anchorFrame()));
        boolean isElsewhere = off > frameNanos / 2 + uncertainty + uncertaintyNanos;
        uncertainty = Math.round(uncertaintyNanos + slack * frameNanos);
        if (old == null || !isLocked) {
            boolean wasLost = lostAt == Long.MAX_VALUE;
            draw(old == null || wasLost || !isElsewhere ? News.LOCKED : News.JUMPED, fresh, at);
        } else if (isElsewhere) {
            draw(News.JUMPED, fresh, at);
        } else if (off > frameNanos * (at - lineSince < SECOND ? Math.max(FAR, slack) : slack)) {
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
        tell(news, at);
    }

    private void tell(News news, long at) {
        long age = Math.max(0, at - lastGood);
        Quality quality =
                line == null ? Quality.NONE : new Quality(age, uncertainty + Math.round(age * DRIFT), ratePpm);
        listener.news(news, line, quality);
    }

    /** All that came up to that instant has been told; what has been silent for longer than that stays away. */
    void heardUntil(long nanos, double quietNanos) {
        if (isLocked && nanos - lastGood > quietNanos) {
            silent(nanos);
        }
    }

    /** When {@link #heardUntil} will say so, if nothing comes. */
    long nextSilence(double quietNanos) {
        return lastGood + Math.round(quietNanos) + 1;
    }

    /** Nothing comes in any more. */
    void silent(long nanos) {
        if (isLocked) {
            isLocked = false;
            lostAt = nanos + freewheelNanos;
            tell(News.FREEWHEELING, nanos);
        }
    }

    /** Tells what is due until that instant. */
    void advanceTo(long nanos) {
        if (!isLocked && nanos >= lostAt) {
            lostAt = Long.MAX_VALUE;
            tell(News.LOST, nanos);
        }
    }

    /** Whether a line is being followed. */
    public boolean isLocked() {
        return isLocked;
    }

    /** When {@link #advanceTo} has something to tell; {@link Long#MAX_VALUE}: not by itself. */
    long nextDeadline() {
        return isLocked ? Long.MAX_VALUE : lostAt;
    }

    /** Says what is wrong, once until it locks again. */
    void complain(String about, String sentence) {
        if (!about.equals(told)) {
            told = about;
            listener.trouble(sentence);
        }
    }
}
