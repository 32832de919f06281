package instep.daemon;

import instep.journal.Happening;
import java.util.ArrayList;
import java.util.List;
import java.util.function.LongConsumer;
import java.util.function.LongSupplier;
import org.jspecify.annotations.Nullable;

/**
 * The turns of the loop, each at one instant: before it, all that was due until then is run, one due time after the other, so that what is decided does not depend on how
 * late a timer comes. Time does not go back. Loop thread only.
 */
final class Turns {
    /** Something that comes due by itself: when ({@link Long#MAX_VALUE}: never), and what to do then. */
    private record Due(LongSupplier deadline, LongConsumer advance) {}

    private final Clockwork clock;
    private final Chronicle chronicle;
    private final Subject subject;
    private final List<Due> sources = new ArrayList<>();
    private Runnable last = () -> {};
    private final Stalls stalls;
    /** The instant that is being worked on; all before it is decided. */
    private long now = Long.MIN_VALUE;
    /** How far the timer alone has brought it. */
    private long timed = Long.MIN_VALUE;
    /** A turn is under way: what the gear says meanwhile has to wait for its own. */
    private boolean busy;

    private Runnable afterEach = () -> {};

    Turns(Clockwork clock, Chronicle chronicle, Subject subject) {
        this.clock = clock;
        this.chronicle = chronicle;
        this.subject = subject;
        stalls = new Stalls(clock, sentence -> chronicle.note(clock.now(), Happening.note(sentence)));
        clock.setTimer(this::nextDeadline, this::timeIsUp);
    }

    /** Runs what is due there as well; of two that are due at the same instant, the one that was added first comes first. */
    void add(LongSupplier nextDeadline, LongConsumer advanceTo) {
        sources.add(new Due(nextDeadline, advanceTo));
    }

    /** The same, but of all that is due at the same instant this comes first. */
    void addFirst(LongSupplier nextDeadline, LongConsumer advanceTo) {
        sources.add(0, new Due(nextDeadline, advanceTo));
    }

    /** What is run at the end of every turn, after the wire had its bytes; it must be quick and must not begin a turn. */
    void afterEach(Runnable look) {
        afterEach = look;
    }

    /** What is done at the end of each turn, when all is decided and the wire has its bytes. */
    void atEnd(Runnable task) {
        last = task;
    }

    Clockwork clock() {
        return clock;
    }

    Subject subject() {
        return subject;
    }

    long now() {
        return now;
    }

    boolean isBusy() {
        return busy;
    }

    /** What the turn that begins now is about, and when it should have begun at the latest; {@link Long#MIN_VALUE} if nobody can say. */
    void about(Stalls.Turn turn, String name, long expected) {
        stalls.begin(turn, name, expected);
    }

    /** Begins the first turn of all, before which nothing can be due. */
    void first(String what, long record, long nanos) {
        busy = true;
        now = nanos;
        subject.about(what, record, now);
    }

    /** Begins a turn at that instant, or at the one up to which all is decided if that is later. Returns it. */
    long begin(long nanos) {
        busy = true;
        runDue(Math.max(nanos, now));
        now = Math.max(nanos, now);
        subject.about("time", -1, now);
        return now;
    }

    /** Begins a turn for what was heard of just now: what was made a little earlier may still be on its way. */
    long beginSettled(long heard) {
        return begin(heard - clock.settle());
    }

    /** Begins a turn that decides nothing. */
    void beginAside() {
        busy = true;
    }

    /** Hands over what was noted, after the wire had its bytes, and sees to the next deadline. */
    void end() {
        last.run();
        stalls.end();
        busy = false;
        chronicle.flush();
        clock.arm();
        afterEach.run();
    }

    /** Hands over what was noted between two turns. */
    void flushUnlessBusy() {
        if (!busy) {
            chronicle.flush();
        }
    }

    /** Up to when all was decided because time had passed, if that is later than the instant; negative: it is not. */
    long timedBeyond(long instant) {
        return timed > instant ? timed : -1;
    }

    private void timeIsUp(long due) {
        timed = Math.max(timed, due);
        busy = true;
        stalls.begin(Stalls.Turn.TIMER, "", due + clock.settle());
        runDue(due);
        end();
    }

    private void runDue(long until) {
        for (Due next = next(); next != null; next = next()) {
            long due = next.deadline().getAsLong();
            if (due > until) {
                return;
            }
            now = Math.max(due, now);
            subject.about("time", -1, now);
            try {
                next.advance().accept(due);
            } catch (RuntimeException bug) {
                clock.bug(bug);
            }
        }
    }

    private @Nullable Due next() {
        Due first = null;
        long earliest = Long.MAX_VALUE;
        for (int i = 0; i < sources.size(); i++) {
            long due = sources.get(i).deadline().getAsLong();
            if (due < earliest) {
                first = sources.get(i);
                earliest = due;
            }
        }
        return first;
    }

    private long nextDeadline() {
        Due next = next();
        return next == null ? Long.MAX_VALUE : next.deadline().getAsLong();
    }
}
