package instep.journal;

import instep.time.Durations;
import java.io.IOException;
import java.util.Optional;
import java.util.concurrent.ConcurrentLinkedQueue;
import org.jspecify.annotations.Nullable;

/**
 * What goes wrong with the journal itself, and how that is told: in the event log while nothing can be written, else by records of its own. The writer's
 * thread only, but for {@link #reason} and {@link #takeRecord}.
 */
final class Failing {
    private static final long SECOND_NANOS = 1_000_000_000L;

    private final JournalSettings settings;
    private final Watch watch;
    private final EventLines events;
    private final ConcurrentLinkedQueue<Happening> records = new ConcurrentLinkedQueue<>();
    private volatile @Nullable String reason;
    private long since;

    Failing(JournalSettings settings, Watch watch, EventLines events) {
        this.settings = settings;
        this.watch = watch;
        this.events = events;
    }

    /** Why nothing can be written now; empty if it can. */
    Optional<String> reason() {
        return Optional.ofNullable(reason);
    }

    /** The next record of the journal about itself; null if there is none. */
    @Nullable Happening takeRecord() {
        return records.poll();
    }

    boolean isOn() {
        return reason != null;
    }

    /** Nothing can be written for now. */
    void begins(IOException e) {
        String now = JournalException.reason(e);
        if (reason == null) {
            since = System.nanoTime();
            String sentence = "the journal cannot be written in "
                    + settings.folder().toAbsolutePath() + ": " + now + ". Up to " + settings.limit()
                    + " records are kept in memory; make room or bring the disk back";
            if (!watch.failing(sentence)) {
                events.fault(sentence);
            }
        }
        reason = now;
    }

    /** The file has taken records: if it could not before, it can again. */
    void ends() {
        if (reason != null) {
            String sentence = "the journal could not be written for " + Durations.rounded(System.nanoTime() - since)
                    + " (" + reason + "); what was kept in memory is written now";
            reason = null;
            if (!watch.back(sentence)) {
                fault(sentence);
            }
        }
    }

    /** The thread ends by a bug of ours. */
    void writerFailed(Throwable e) {
        reason = "the journal's writer has failed (" + e + "); nothing is journalled until instep is started again";
    }

    /** Says so if the disk took long for what began then. */
    void sayIfSlow(long began) {
        long took = System.nanoTime() - began;
        if (took > SECOND_NANOS) {
            // Whole seconds: a fault in the same words is the same fault to whoever acknowledges it.
            long seconds = took / SECOND_NANOS;
            fault("the disk took more than " + seconds + " s to take the journal: is it busy or failing?");
        }
    }

    void fault(String sentence) {
        note(Happening.fault(sentence));
    }

    void note(Happening what) {
        records.add(what);
    }

    /** Nothing is written any more: what the journal cannot tell, the event log does. */
    void sayWhatIsLeft(int unwritten) {
        if (unwritten > 0) {
            events.fault(unwritten + " records could not be written to the journal and are lost: " + reason);
        }
        records.forEach(what -> events.fault(what.text(Key.TEXT)));
    }
}
