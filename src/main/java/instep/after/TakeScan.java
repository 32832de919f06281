package instep.after;

import instep.cutlist.Take;
import instep.cutlist.Takes;
import instep.journal.DamagedLineException;
import instep.journal.Entry;
import instep.journal.JournalScan;
import instep.journal.Key;
import instep.journal.Kind;
import instep.journal.TakeEvents;
import instep.time.FrameRate;
import java.io.IOException;
import java.io.UncheckedIOException;
import java.nio.file.Path;
import java.util.ArrayDeque;
import java.util.Deque;
import java.util.EnumSet;
import java.util.Set;

/** Goes through a journal take by take. It holds one take at a time, so memory does not grow with the journal. */
public final class TakeScan implements JournalScan.Visitor {
    /** Who is given the takes. */
    public interface Visitor {
        /** The next take. */
        void take(RecordedTake take) throws IOException;

        /** Something in the journal could not be read. */
        void damaged(String what);

        /** Of which kinds it wants to see the records themselves. */
        default Set<Kind> kinds() {
            return Set.of();
        }

        /** The next record; a take has been shown before the record with which the next one begins. */
        default void entry(Entry entry) {}
    }

    private record Circumstances(FrameRate rate, String day, String timecode, String config, String file) {}

    private final Visitor visitor;
    private final Takes takes = new Takes(this::found);
    private final TakeEvents events = new TakeEvents(takes::accept);
    /** Of the parts of takes that have begun and have not been given away; a take is found when the next one begins. */
    private final Deque<Circumstances> begun = new ArrayDeque<>();

    private FrameRate rate = FrameRate.R25;
    private String timecode = "";
    private String config = "";
    private String file = "";

    private TakeScan(Visitor visitor) {
        this.visitor = visitor;
    }

    /** Shows all takes of a journal, in its order. */
    public static void of(Path place, Visitor visitor) throws IOException {
        TakeScan scan = new TakeScan(visitor);
        try {
            Set<Kind> kinds = EnumSet.of(Kind.CONFIG);
            kinds.addAll(TakeEvents.KINDS);
            kinds.addAll(visitor.kinds());
            JournalScan.of(place, kinds, scan);
            scan.events.end();
            scan.takes.end();
        } catch (UncheckedIOException e) {
            throw e.getCause() == null ? new IOException(e) : e.getCause();
        }
    }

    @Override
    public void entry(Path of, long line, Entry entry) {
        events.accept(entry);
        switch (entry.kind()) {
            case START -> {
                rate = entry.text(Key.RATE).flatMap(FrameRate::named).orElse(rate);
                config = "";
            }
            case CONFIG -> {
                config = entry.text(Key.TEXT).orElse("");
                file = entry.text(Key.FILE).orElse("");
            }
            case SYNC -> timecode = entry.text(Key.SOURCE).orElse("");
            default -> {
                if (TakeEvents.isBeginning(entry)) {
                    begun.add(new Circumstances(rate, day(entry), timecode, config, file));
                }
            }
        }
        if (visitor.kinds().contains(entry.kind())) {
            visitor.entry(entry);
        }
    }

    private static String day(Entry entry) {
        return entry.at().substring(0, Math.min(10, entry.at().length()));
    }

    @Override
    public void passed(long mono) {
        events.passed(mono);
    }

    @Override
    public void damaged(DamagedLineException what) {
        visitor.damaged(String.valueOf(what.getMessage()));
    }

    private void found(Take take) {
        Circumstances then = begun.remove();
        for (int part = 1; part < take.parts(); part++) {
            begun.remove();
        }
        try {
            visitor.take(new RecordedTake(take, then.rate, then.day, then.timecode, then.config, then.file));
        } catch (IOException e) {
            throw new UncheckedIOException(e);
        }
    }
}
