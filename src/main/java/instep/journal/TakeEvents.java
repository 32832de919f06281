package instep.journal;

import instep.cutlist.Mark;
import instep.cutlist.TakeEvent;
import instep.time.FrameRate;
import java.util.ArrayList;
import java.util.Collections;
import java.util.EnumSet;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.function.Consumer;

/**
 * Picks from a journal's records what the cut list is made of; a cut counts as of when it was confirmed, if it was. Records are given in the order of the files.
 * Where timecode jumps within a take, its frames are counted on. What a take is made of is given away when the next take begins or the run ends, since a confirmation may come late: memory grows with a take, not with the
 * journal. Not thread-safe.
 */
public final class TakeEvents {
    /** The kinds of records that say something about takes. */
    public static final Set<Kind> KINDS = Collections.unmodifiableSet(EnumSet.of(
            Kind.START,
            Kind.TRANSITION,
            Kind.TAKE_OPEN,
            Kind.TAKE_CLOSE,
            Kind.CUT,
            Kind.CONFIRMED,
            Kind.MARK,
            Kind.SYNC));

    private final List<TakeEvent> kept = new ArrayList<>();
    private final Consumer<TakeEvent> sink;
    private final List<TakeEvent> events = new ArrayList<>();
    /** By the number of the record: which of the events is that cut. */
    private final Map<Long, Integer> cuts = new HashMap<>();

    private long opened = Long.MIN_VALUE;
    private boolean inTake;
    /** The last transition, while it may still be what the next cut follows from. */
    private Optional<Entry> taken = Optional.empty();
    /** Time ran faster than gear can: how long its answers took in that time says nothing. */
    private boolean tooFast;

    private final TakeFrames frames = new TakeFrames();
    private FrameRate rate = FrameRate.R25;
    /** Of the run before this one. */
    private FrameRate rateBefore = FrameRate.R25;

    private boolean running;
    private long anchorFrame;
    private long anchorMono;
    private long lastMono;

    /** Keeps what it finds, for {@link #toList}. */
    public TakeEvents() {
        sink = kept::add;
    }

    /** Gives away what it finds. */
    public TakeEvents(Consumer<TakeEvent> sink) {
        this.sink = sink;
    }

    /** Whether a take begins with that record, or a part of one that an earlier run had left open. */
    public static boolean isBeginning(Entry entry) {
        return entry.kind() == Kind.TAKE_OPEN && entry.number(Key.FRAME).isPresent();
    }

    /** Looks at the next record. */
    public void accept(Entry entry) {
        if (entry.kind() == Kind.START) {
            end();
            running = true;
            rateBefore = rate;
            rate = entry.text(Key.RATE).flatMap(FrameRate::named).orElse(rate);
            tooFast = entry.text(Key.SPEED).isPresent();
            opened = Long.MIN_VALUE;
            frames.beginRun(rate);
            anchorFrame = 0;
            anchorMono = entry.mono();
            lastMono = entry.mono();
        }
        lastMono = Math.max(lastMono, entry.mono());
        if (entry.kind() == Kind.TRANSITION) {
            taken = Optional.of(entry);
        }
        entry.number(Key.FRAME).ifPresent(frame -> framed(entry, frame));
    }

    /** Time has come so far, as records tell that say nothing about takes. */
    public void passed(long mono) {
        lastMono = Math.max(lastMono, mono);
    }

    /** What was found, ended with the end of the last run. */
    public List<TakeEvent> toList() {
        end();
        return List.copyOf(kept);
    }

    /** There are no more records: the last run has ended. */
    public void end() {
        endRun();
        giveAway();
    }

    private void giveAway() {
        events.forEach(sink);
        events.clear();
        cuts.clear();
    }

    private void framed(Entry entry, long labelled) {
        if (entry.kind() == Kind.SYNC) {
            frames.sync(entry, labelled)
                    .filter(jump -> inTake)
                    .map(TakeEvent.Jumped::new)
                    .ifPresent(events::add);
        }
        long frame = frames.of(entry.mono(), labelled);
        anchorFrame = frame;
        anchorMono = entry.mono();
        switch (entry.kind()) {
            case TAKE_OPEN -> {
                giveAway();
                frames.beginTake(entry.mono(), labelled);
                opened = labelled;
                anchorFrame = labelled;
                inTake = true;
                boolean goesOn = entry.text(Key.RESUMED).isPresent() && rate == rateBefore;
                events.add(
                        goesOn
                                ? new TakeEvent.Resumed(take(entry), labelled)
                                : new TakeEvent.Opened(take(entry), labelled));
            }
            case TAKE_CLOSE -> {
                inTake = false;
                events.add(new TakeEvent.Closed(take(entry), frame));
            }
            case CUT -> cut(entry, frame);
            case MARK -> mark(entry, frame);
            case CONFIRMED -> confirm(entry, frame);
            case START,
                    CONFIG,
                    EDGE,
                    POSITION,
                    GESTURE,
                    TRANSITION,
                    SENT,
                    REPLY,
                    MISSED,
                    LINK,
                    DEVICE,
                    SYNC,
                    FAULT,
                    NOTE,
                    STANDING,
                    STOP -> {}
        }
    }

    private void mark(Entry entry, long frame) {
        if (inTake) {
            String name = entry.text(Key.MARK).orElse("");
            events.add(new TakeEvent.Marked(new Mark(name, entry.text(Key.TEXT).orElse(""), frame)));
        }
    }

    private void cut(Entry entry, long frame) {
        int last = events.size() - 1;
        if (!inTake && last >= 0 && events.get(last) instanceof TakeEvent.Cut) {
            // Between takes only the last cut matters, however long the night.
            events.remove(last);
            cuts.values().remove(last);
        }
        cuts.put(entry.seq(), events.size());
        events.add(new TakeEvent.Cut(entry.text(Key.ANGLE).orElse(""), frame, isReturn(entry)));
        taken = Optional.empty();
    }

    /** What belongs to a cut stands before it with the same cause; what somebody did at the gear follows from no transition. */
    private boolean isReturn(Entry cut) {
        return cut.text(Key.BY).isEmpty()
                && taken.filter(transition -> transition.text(Key.RETURNING).equals(Optional.of("true"))
                                && transition.number(Key.CAUSE).equals(cut.number(Key.CAUSE)))
                        .isPresent();
    }

    /**
     * A cut took place when the gear says so, not when it was asked for; the first word counts. What a take begins with stays on its first frame: a
     * shot of what was on air before the take is nothing that anybody wants. Gear that could not be reached and is told again says nothing about when the foot meant it to be.
     */
    private void confirm(Entry word, long frame) {
        if (word.text(Key.AGAIN).isPresent()) {
            return;
        }
        Integer index = cuts.remove(word.number(Key.TICKET).orElse(-1));
        if (index != null && !tooFast && events.get(index).frame() > opened) {
            TakeEvent.Cut asked = (TakeEvent.Cut) events.get(index);
            events.set(index, new TakeEvent.Cut(asked.angle(), Math.max(frame, asked.frame()), asked.returning()));
        }
    }

    /** Timecode runs straight within a take, so the last record of any kind tells how far it is known. */
    private void endRun() {
        if (running) {
            events.add(new TakeEvent.RunEnded(anchorFrame + rate.frameAt(lastMono - anchorMono) + 1));
        }
        running = false;
        inTake = false;
    }

    private static long take(Entry entry) {
        return entry.number(Key.TAKE).orElse(0);
    }
}
