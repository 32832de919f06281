package instep.clock;

import instep.time.FrameRate;

/**
 * Between which instants a frame of gear's timecode began, as its reports say one after the other. A label that came as an answer was shown after the question was sent and before the
 * answer came: half of what is left between is its time, give or take the other half (RFC 5905, section 8, halves a round trip in the same way, and its section 11.2.1 keeps the
 * stretch on which clocks agree). Each report narrows the stretch; what does not overlap with it does not fit. In between it widens, since two clocks part. A report that nobody
 * has asked for may be late by any small amount: the least late is right. Not thread-safe.
 */
final class ReportBounds {
    /** Reports that have to agree before they are believed. */
    private static final int AGREEING = 3;
    /** They have to be so many times further apart than each is uncertain: a label that stands still must not look as if it ran. */
    private static final int APART = 4;
    /** Two crystals part by less. */
    private static final double DRIFT = 100e-6;
    /** So late may be what nobody has asked for. */
    private static final double LATE_NANOS = 100e6;
    /** How the memory of what was seen before fades with each report. */
    private static final double FADE = 0.98;

    private final FrameRate rate;
    private final double frameNanos;
    private final long base;

    /** The instant at which frame 0 began, counted from the base: the earliest and the latest that it can be. */
    private double earliest;

    private double latest;
    /** How far apart the labels of reports that came by themselves stood in their frames: near a whole frame, the least late one was sent where a frame began. */
    private double spread;

    private double widest;
    private boolean isAsked;
    private long first;
    private long last;
    private int agreeing;

    /** With nothing known; instants are counted from that one, so that numbers stay small. */
    ReportBounds(FrameRate rate, long base) {
        this.rate = rate;
        this.base = base;
        frameNanos = 1e9 * rate.denominator() / rate.numerator();
    }

    /**
     * Takes a report, or returns false if it does not fit to those before.
     *
     * @param asked when the question was sent; negative: nobody has asked
     */
    boolean take(long frameOfDay, long asked, long heard) {
        double frame = unwrapped(frameOfDay, heard) * frameNanos;
        double latestNow = heard - base - frame;
        double earliestNow = asked < 0 ? latestNow - LATE_NANOS - frameNanos : asked - base - frame - frameNanos;
        if (agreeing > 0) {
            double apart = (heard - last) * DRIFT;
            if (earliestNow > latest + apart || latestNow < earliest - apart) {
                return false;
            }
            earliest = Math.max(earliest - apart, earliestNow);
            latest = Math.min(latest + apart, latestNow);
        } else {
            earliest = earliestNow;
            latest = latestNow;
            first = heard;
        }
        double late = latestNow - latest;
        spread = Math.max(spread * FADE, late <= frameNanos ? late : 0);
        // A label that has come by itself has moved since the one before it: how late such are differs by less than the
        // bound of it, unless they run at another speed.
        widest = Math.max(widest, asked < 0 ? late + frameNanos : latestNow - earliestNow);
        isAsked |= asked >= 0;
        last = heard;
        agreeing++;
        return true;
    }

    /** Over midnight frames are counted on. */
    private long unwrapped(long frameOfDay, long heard) {
        if (agreeing == 0) {
            return frameOfDay;
        }
        double expected = (heard - base - latest) / frameNanos;
        return frameOfDay + Math.round((expected - frameOfDay) / rate.framesPerDay()) * rate.framesPerDay();
    }

    /** Whether enough reports have agreed for long enough. */
    boolean isCertain() {
        return agreeing >= AGREEING && last - first >= APART * widest;
    }

    /** When a frame began; {@code frameOfDay} is one close to that instant. */
    long begins(long frameOfDay, long nanos) {
        return base + Math.round(offset() + unwrapped(frameOfDay, nanos) * frameNanos);
    }

    /** Whether the other ones are so close. */
    boolean isWithin(ReportBounds other, double nanos) {
        return Math.abs(offset() + base - other.offset() - other.base) < nanos;
    }

    /** How much earlier or later it can have been; how late something is that nobody has asked for is not known. */
    double uncertaintyNanos() {
        return isAsked ? (latest - earliest) / 2 : frameNanos / 2;
    }

    /** The instant at which frame 0 began, counted from the base; it moves as far as the gear's clock parts from ours. */
    double offset() {
        return latest - (isAsked ? latest - earliest : frameNanos - spread) / 2;
    }
}
