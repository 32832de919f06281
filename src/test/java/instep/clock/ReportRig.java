package instep.clock;

import instep.time.FrameRate;
import instep.time.Timecode;
import java.util.SplittableRandom;

/** Gear that tells its timecode over a network which is late by chance, in virtual time. It knows which frame it is on at every instant. */
final class ReportRig {
    private static final double LATE_NANOS = 2e6;

    private final FrameRate rate;
    private final double speed;
    private final long every;
    private final boolean isAsked;
    private final SplittableRandom random;
    private final ReportedTimecode reports;
    final HeardNews heard = new HeardNews();
    final Chase chase;

    private long frame;
    private double cued;
    private boolean rolls = true;
    private long now = 1_000_000_000L;
    private long frames;
    private long worstFrames;
    private double worstNanos;
    private int outliers;
    private double lastHeard;

    /**
     * Gear.
     *
     * @param fast how much its clock is fast
     * @param every how often it tells; 0: with each frame. By itself, or asked ({@code isAsked})
     */
    ReportRig(FrameRate rate, double fast, long every, boolean isAsked, long seed) {
        this.rate = rate;
        speed = 1 + fast;
        this.every = every;
        this.isAsked = isAsked;
        random = new SplittableRandom(seed);
        chase = new Chase(rate, 10_000_000_000L, 0, heard);
        reports = new ReportedTimecode(chase);
    }

    void cue(Timecode at) {
        frame = at.frame();
        cued = (double) now;
    }

    /** It stands still from now on, at the label that it has. */
    void halt() {
        frame = frameAt((double) now);
        cued = now;
        rolls = false;
    }

    void roll() {
        cued = (double) now;
        rolls = true;
    }

    private long frameAt(double nanos) {
        return frame + (rolls ? (long) Math.floor((nanos - cued) * speed / chase.frameNanos()) : 0);
    }

    private double late() {
        double usual = 0.3e6 - LATE_NANOS * Math.log(1 - random.nextDouble());
        return random.nextInt(200) == 0 ? usual + 80e6 : usual;
    }

    /** It tells until then, or until there is news. */
    void run(long until, boolean untilNews) {
        int told = heard.news.size();
        while (now < until && !(untilNews && heard.news.size() > told)) {
            double asked = now;
            double shown = isAsked ? asked + late() : asked;
            double arrived = shown + late();
            long told1 = frameAt(shown);
            if (random.nextInt(300) == 0) {
                // Somebody has misread it.
                told1 += random.nextInt(100_000) - 50_000;
                outliers++;
            }
            advanceTo((long) arrived);
            lastHeard = arrived;
            reports.reported(Timecode.wrapped(rate, told1), isAsked ? (long) asked : -1, (long) arrived);
            judge(now, isWithFrames() ? (long) nextFrame((double) now) : now + every);
            now = Math.max(
                    isWithFrames() ? (long) nextFrame((double) now) : now + every + random.nextInt(1_000_000),
                    (long) arrived);
        }
    }

    private boolean isWithFrames() {
        return every == 0;
    }

    /** Just after a frame has begun. */
    private double nextFrame(double nanos) {
        return cued
                + (Math.floor((nanos - cued) * speed / chase.frameNanos() + 0.5) + 1) * chase.frameNanos() / speed
                + 1_000;
    }

    /** Nothing is told any more; returns how long it takes until that is noticed, in nanoseconds from when the next report would have come. */
    long stop() {
        long due = reports.nextDeadline();
        reports.advanceTo(due);
        return due - now;
    }

    /** What is due until then. */
    void advanceTo(long nanos) {
        while (reports.nextDeadline() <= nanos) {
            reports.advanceTo(reports.nextDeadline());
        }
    }

    /** Nothing is told any more. */
    void hush(long nanos) {
        now += nanos;
        advanceTo(now);
    }

    private void judge(long from, long to) {
        for (double at = from; chase.isLocked() && rolls && at < to; at += chase.frameNanos() * 1.37) {
            long truth = frameAt(at);
            long said = heard.line().frameAt((long) at);
            long off = Math.abs(Math.floorMod(said - truth + rate.framesPerDay() / 2, rate.framesPerDay())
                    - rate.framesPerDay() / 2);
            worstFrames = Math.max(worstFrames, off);
            double begin = cued + (truth - frame) * chase.frameNanos() / speed;
            double line = heard.line().nanosAt(heard.line().frameAt((long) (begin + chase.frameNanos() / 2)));
            worstNanos = Math.max(worstNanos, Math.abs(line - begin));
            frames++;
        }
    }

    long now() {
        return now;
    }

    /** When the last report arrived. */
    double lastHeard() {
        return lastHeard;
    }

    long frames() {
        return frames;
    }

    long worstFrames() {
        return worstFrames;
    }

    double worstNanos() {
        return worstNanos;
    }

    int outliers() {
        return outliers;
    }
}
