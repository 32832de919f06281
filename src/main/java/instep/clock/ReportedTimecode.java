package instep.clock;

import instep.time.Timecode;
import instep.time.TimecodeLine;
import org.jspecify.annotations.Nullable;

/**
 * Timecode that gear tells in words, now and then: asked for, or by itself. Reports that agree lock a {@link Chase}; a single one that does not fit is left out, and when several agree on another
 * place, the gear has been moved there. Labels that stand still, as those of a recorder that does not roll, are not followed. Not thread-safe.
 */
public final class ReportedTimecode {
    /** Part of a frame by which the line may be off what the reports say. */
    private static final double SLACK = 1 / 8.0;
    /** So many times the usual distance between reports may pass without one. */
    private static final int QUIET_REPORTS = 4;
    /** And never less than so many frames. */
    private static final int QUIET_FRAMES = 8;

    private static final double AGILITY = 0.2;
    /** The speed is measured over so long, and told if it is known so well. */
    private static final long SPEED_NANOS = 3_600_000_000_000L;

    private static final double SPEED_KNOWN = 20e-6;
    /** A move that is no longer than that may be none: the labels may run at another speed. */
    private static final double CREEP_NANOS = 1e9;

    private static final int MOST_CREEPS = 2;

    private final Chase chase;
    private ReportBounds current;
    /** What does not fit to the current ones, but perhaps among itself. */
    private @Nullable ReportBounds other;

    private @Nullable Timecode before;
    private long heardLast = Long.MIN_VALUE;
    private double usualNanos;
    private int creeps;
    private long speedSince;
    private double speedOffset;
    private double speedUncertainty;

    /** One that has heard nothing. */
    public ReportedTimecode(Chase chase) {
        this.chase = chase;
        current = new ReportBounds(chase.rate(), 0);
    }

    /**
     * The gear has told its timecode.
     *
     * @param asked when the question was sent; negative: it has spoken by itself
     * @param heard when that arrived
     */
    public void reported(Timecode label, long asked, long heard) {
        boolean isRepeated = label.equals(before) && asked < 0;
        before = label;
        if (!isRepeated) {
            take(label, asked, heard);
        }
        chase.advanceTo(heard);
    }

    private void take(Timecode label, long asked, long heard) {
        if (heardLast == Long.MIN_VALUE) {
            current = new ReportBounds(chase.rate(), heard);
        }
        pace(heard);
        if (current.take(label.frame(), asked, heard)) {
            other = null;
        } else if (other == null || !other.take(label.frame(), asked, heard)) {
            other = new ReportBounds(chase.rate(), heard);
            other.take(label.frame(), asked, heard);
            return;
        } else if (!other.isCertain()) {
            return;
        } else {
            moved(other);
            other = null;
        }
        settle(label, heard);
    }

    private void moved(ReportBounds to) {
        creeps = current.isCertain() && current.isWithin(to, CREEP_NANOS) ? creeps + 1 : 0;
        if (creeps >= MOST_CREEPS) {
            chase.complain(
                    "speed", "its labels do not count as " + chase.rate().label() + " does: are they of another rate?");
        }
        current = to;
        speedSince = 0;
    }

    private void pace(long heard) {
        if (heardLast != Long.MIN_VALUE) {
            double since = heard - heardLast;
            usualNanos = usualNanos == 0 ? since : usualNanos + (since - usualNanos) * AGILITY;
        }
        heardLast = heard;
    }

    private void settle(Timecode label, long heard) {
        if (!current.isCertain()) {
            return;
        }
        chase.heard(heard);
        measure(heard);
        long frame = chase.nearest(label.frame(), heard);
        TimecodeLine line = new TimecodeLine(chase.rate(), current.begins(label.frame(), heard), frame);
        chase.settleOn(line, heard, SLACK, current.uncertaintyNanos());
    }

    private void measure(long heard) {
        if (speedSince != 0) {
            double known = (speedUncertainty + current.uncertaintyNanos()) / (heard - speedSince);
            if (known < SPEED_KNOWN) {
                chase.runs(Math.round((speedOffset - current.offset()) / (heard - speedSince) * 1e6));
            }
        }
        if (speedSince == 0 || heard - speedSince > SPEED_NANOS) {
            speedSince = heard;
            speedOffset = current.offset();
            speedUncertainty = current.uncertaintyNanos();
        }
    }

    private double quietNanos() {
        return Math.max(QUIET_REPORTS * usualNanos, QUIET_FRAMES * chase.frameNanos());
    }

    /** Tells what is due until that instant. */
    public void advanceTo(long nanos) {
        chase.heardUntil(nanos, quietNanos());
        chase.advanceTo(nanos);
    }

    /** When {@link #advanceTo} has something to do, if nothing arrives before; {@link Long#MAX_VALUE}: never. */
    public long nextDeadline() {
        return chase.isLocked() ? chase.nextSilence(quietNanos()) : chase.nextDeadline();
    }
}
