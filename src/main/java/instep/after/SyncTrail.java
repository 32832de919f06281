package instep.after;

import instep.journal.Entry;
import instep.journal.Key;
import instep.journal.Kind;
import instep.journal.TakeFrames;
import instep.report.SyncFigures;
import instep.report.SyncStep;
import instep.time.FrameRate;
import instep.time.TimeSyntaxException;
import instep.time.Timecode;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.OptionalLong;
import java.util.Set;

/** The timecode of a take while it is read: what it follows, and how well. Not thread-safe. */
final class SyncTrail {
    /** More changes than that nobody reads. */
    private static final int MOST_STEPS = 100;

    private static final Set<String> BY_ITSELF = Set.of("freewheeling", "lost");
    private static final String FOLLOWS = "follows";

    private final FrameRate rate;
    private final TakeFrames frames = new TakeFrames();
    private final String source;
    private final String state;
    private final long opened;
    private boolean unkept;
    private final List<SyncStep> steps = new ArrayList<>();
    private long more;
    private long follows;
    private long broken;
    private long brokenSince = Long.MIN_VALUE;
    private OptionalLong uncertainty = OptionalLong.empty();
    private OptionalLong ppm = OptionalLong.empty();

    /**
     * A take begins.
     *
     * @param before what the journal said last of timecode
     */
    SyncTrail(FrameRate rate, Optional<Entry> before, Entry opened) {
        this.rate = rate;
        source = before.flatMap(sync -> sync.text(Key.SOURCE)).orElse("");
        state = before.flatMap(sync -> sync.text(Key.STATE)).orElse("");
        unkept = before.flatMap(sync -> sync.text(Key.CLOCK)).orElse("").equals("unsynchronized");
        before.ifPresent(this::quality);
        this.opened = opened.number(Key.FRAME).orElse(0);
        frames.beginRun(rate);
        before.ifPresent(sync -> frames.sync(sync, sync.number(Key.FRAME).orElse(0)));
        frames.beginTake(opened.mono(), this.opened);
        if (BY_ITSELF.contains(state)) {
            brokenSince = opened.mono();
        }
    }

    void accept(Entry entry) {
        if (entry.kind() == Kind.SYNC) {
            sync(entry, entry.text(Key.STATE).orElse(""));
        } else if (entry.kind() == Kind.TAKE_CLOSE) {
            mend(entry.mono());
        }
    }

    /** The same take, as a later run went on with it; if what it follows is another thing then, that is a step. */
    void goOnWith(SyncTrail later) {
        SyncStep last = steps.isEmpty() ? new SyncStep(opened, source, state) : steps.get(steps.size() - 1);
        if (!last.source().equals(later.source) || !last.state().equals(later.state)) {
            add(new SyncStep(later.opened, later.source, later.state));
        }
        later.steps.forEach(this::add);
        more += later.more;
        follows += later.follows;
        broken += later.broken;
        unkept |= later.unkept;
        quality(later.uncertainty, later.ppm);
    }

    /** The frame that a record bears. Where a take begins within a frame is not known, so counting on from there could be one off. */
    long frame(Entry entry) {
        try {
            return frames.of(entry.mono(), Timecode.parse(entry.tc(), rate));
        } catch (TimeSyntaxException e) {
            return frames.at(entry.mono());
        }
    }

    SyncFigures quality() {
        return new SyncFigures(source, state, unkept, steps, more, follows, rate.frameAt(broken), uncertainty, ppm);
    }

    private void sync(Entry entry, String now) {
        if (BY_ITSELF.contains(now)) {
            brokenSince = brokenSince == Long.MIN_VALUE ? entry.mono() : brokenSince;
        } else {
            mend(entry.mono());
        }
        quality(entry);
        entry.number(Key.FRAME).ifPresent(frame -> frames.sync(entry, frame));
        if (now.equals(FOLLOWS)) {
            follows++;
        } else {
            add(new SyncStep(frame(entry), entry.text(Key.SOURCE).orElse(""), now));
        }
    }

    private void add(SyncStep step) {
        if (steps.size() < MOST_STEPS) {
            steps.add(step);
        } else {
            more++;
        }
    }

    private void quality(Entry sync) {
        quality(sync.number(Key.UNCERTAINTY_US), sync.number(Key.RATE_PPM));
    }

    private void quality(OptionalLong uncertaintyNow, OptionalLong ppmNow) {
        if (uncertaintyNow.isPresent() && uncertaintyNow.getAsLong() > uncertainty.orElse(-1)) {
            uncertainty = uncertaintyNow;
        }
        ppm = ppmNow.isPresent() ? ppmNow : ppm;
    }

    private void mend(long mono) {
        broken += brokenSince == Long.MIN_VALUE ? 0 : mono - brokenSince;
        brokenSince = Long.MIN_VALUE;
    }
}
