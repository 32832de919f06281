package instep.after;

import instep.journal.Entry;
import instep.journal.Key;
import instep.journal.Kind;
import instep.report.SyncQuality;
import instep.report.SyncStep;
import instep.time.FrameRate;
import java.util.ArrayList;
import java.util.List;
import java.util.OptionalDouble;
import java.util.Set;

/** The timecode of a take while it is read: what it follows, and how straight it ran. Not thread-safe. */
final class SyncTrail {
    /** More changes than that nobody reads. */
    private static final int MOST_STEPS = 100;

    private static final Set<String> BY_ITSELF = Set.of("freewheeling", "lost");
    private static final String FOLLOWS = "follows";
    /** Below that, what a clock differs drowns in the fiftieth of a frame by which it may. */
    private static final double LEAST_NANOS_FOR_DRIFT = 60e9;

    private final FrameRate rate;
    private final String source;
    private final String state;
    private final List<SyncStep> steps = new ArrayList<>();
    private long anchorFrame;
    private long anchorMono;
    private long more;
    private long follows;
    private long broken;
    private long brokenSince = Long.MIN_VALUE;
    /** Where the stretch began in which frames follow another clock without a jump. */
    private long firstBegan = Long.MIN_VALUE;

    private long firstFrame;
    private double longest;
    private long longestFrames;

    /**
     * A take begins.
     *
     * @param state what was the matter with its timecode; empty: nothing was said
     */
    SyncTrail(FrameRate rate, String source, String state, Entry opened) {
        this.rate = rate;
        this.source = source;
        this.state = state;
        anchorMono = opened.mono();
        anchorFrame = opened.number(Key.FRAME).orElse(0);
        if (BY_ITSELF.contains(state)) {
            brokenSince = anchorMono;
        }
    }

    void accept(Entry entry) {
        entry.number(Key.FRAME).ifPresent(frame -> {
            anchorFrame = frame;
            anchorMono = entry.mono();
        });
        if (entry.kind() == Kind.SYNC) {
            sync(entry, entry.text(Key.STATE).orElse(""));
        } else if (entry.kind() == Kind.TAKE_CLOSE) {
            mend(entry.mono());
        }
    }

    /** The frame of an instant. */
    long frame(long mono) {
        return anchorFrame + (mono >= anchorMono ? rate.frameAt(mono - anchorMono) : -rate.frameAt(anchorMono - mono));
    }

    SyncQuality quality() {
        return new SyncQuality(source, state, steps, more, follows, rate.frameAt(broken), drift());
    }

    private void sync(Entry entry, String now) {
        if (BY_ITSELF.contains(now)) {
            brokenSince = brokenSince == Long.MIN_VALUE ? entry.mono() : brokenSince;
        } else {
            mend(entry.mono());
        }
        anchor(entry, now);
        if (now.equals(FOLLOWS)) {
            follows++;
        } else if (steps.size() < MOST_STEPS) {
            steps.add(new SyncStep(anchorFrame, entry.text(Key.SOURCE).orElse(""), now));
        } else {
            more++;
        }
    }

    private void mend(long mono) {
        broken += brokenSince == Long.MIN_VALUE ? 0 : mono - brokenSince;
        brokenSince = Long.MIN_VALUE;
    }

    /** A jump begins another stretch; the longest tells most about the other clock. */
    private void anchor(Entry entry, String now) {
        long began = entry.number(Key.BEGAN).orElse(Long.MIN_VALUE);
        if (began == Long.MIN_VALUE) {
            return;
        }
        if (!now.equals(FOLLOWS) || firstBegan == Long.MIN_VALUE) {
            firstBegan = began;
            firstFrame = anchorFrame;
        }
        double nanos = (double) began - firstBegan;
        if (nanos >= longest) {
            longest = nanos;
            longestFrames = anchorFrame - firstFrame;
        }
    }

    private OptionalDouble drift() {
        if (longest < LEAST_NANOS_FOR_DRIFT) {
            return OptionalDouble.empty();
        }
        double frames = longest * rate.numerator() / rate.denominator() / 1e9;
        return OptionalDouble.of((longestFrames - frames) / frames * 1e6);
    }
}
