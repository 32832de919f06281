package instep.journal;

import instep.time.FrameRate;
import instep.time.TimeSyntaxException;
import instep.time.Timecode;
import java.nio.file.Path;
import java.time.DateTimeException;
import java.util.HashSet;
import java.util.Set;
import java.util.function.Consumer;
import org.jspecify.annotations.Nullable;

/**
 * Checks whether a journal is what its specification says: every line's checksum and fields, the numbers of the records without a gap that is not told of, labels
 * that fit their frames, the day that the file is named for, causes that stand before what they caused, and takes that are opened and closed in turn. What is
 * wrong is told with its file and line. Memory does not grow with the journal.
 */
public final class Audit implements JournalScan.Visitor {
    /** Whether one is open, where records are missing. */
    private static final long UNKNOWN = -2;

    private final Consumer<String> out;
    private final boolean isPart;
    private FrameRate rate = FrameRate.R25;
    private long seq;
    private long openTake = -1;
    private long records;
    private long runs;
    private long takes;
    /** The take that was counted last, unless it was closed; a later run may go on with it. */
    private long counted = -1;

    private long faults;
    /** The first file, and those that records say were removed. */
    private @Nullable Path first;

    private boolean isWhole;
    private final Set<String> removed = new HashSet<>();
    /** Damaged lines since the last good record: a gap in the numbers behind them has been told. */
    private boolean afterDamage;

    /** Of all files of a journal; tells {@code out} each fault in a sentence. */
    public Audit(Consumer<String> out) {
        this(out, false);
    }

    /** The same; {@code isPart}: of one file, which may go on with what began in an earlier one. */
    public Audit(Consumer<String> out, boolean isPart) {
        this.out = out;
        this.isPart = isPart;
    }

    @Override
    public void entry(Path file, long line, Entry entry) {
        records++;
        if (entry.kind() == Kind.START) {
            begin(entry);
        }
        String place = file + ":" + line + ": ";
        if (first == null) {
            first = file;
            beginning(place, entry);
        }
        if (entry.kind() == Kind.NOTE) {
            entry.text(Key.FILE).ifPresent(removed::add);
        }
        RecordShape.faults(entry).forEach(fault -> tell(place + fault));
        number(place, entry);
        stamps(place, file, entry);
        take(place, entry);
        afterDamage = false;
    }

    @Override
    public void damaged(DamagedLineException what) {
        tell(String.valueOf(what.getMessage()));
        afterDamage = true;
    }

    @Override
    public void torn(Path file, long bytes) {
        tell(file + ": " + bytes + " bytes after the last whole line: a line that is being written just now, or was"
                + " when the power went");
    }

    /** How many records were read. */
    public long records() {
        return records;
    }

    /** How many times the daemon had begun. */
    public long runs() {
        return runs;
    }

    /** How many takes were opened; one that a later run went on with is one. */
    public long takes() {
        return takes;
    }

    /** How many faults were told. */
    public long faults() {
        return faults;
    }

    private void begin(Entry start) {
        runs++;
        seq = 0;
        openTake = -1;
        rate = start.text(Key.RATE).flatMap(FrameRate::named).orElse(rate);
    }

    /** Nothing that the budget removes leaves a journal that begins in the middle of a run. */
    private void beginning(String place, Entry entry) {
        isWhole = entry.seq() == 1;
        if (!isWhole && !isPart && !afterDamage) {
            tell(place + "the journal begins with record " + entry.seq()
                    + " of a run: those before it are missing, and no record says why");
        }
    }

    /** All has been seen: whether files are missing before the first of them. Returns what there is to say of that which is no fault; empty if nothing is. */
    public String end() {
        if (isPart) {
            return isWhole ? "" : "it goes on with a run of an earlier file";
        }
        Path file = first;
        if (file != null && isWhole && JournalFolder.isJournal(file) && JournalFolder.number(file) > 1) {
            String before = JournalFolder.before(file);
            if (!removed.contains(before)) {
                tell(file + ": " + before + " is missing before it, and no record says that it was removed");
            }
        }
        return removed.isEmpty() ? "" : "earlier takes were removed to keep within the budget";
    }

    private void number(String place, Entry entry) {
        long missing = entry.seq() - seq - 1;
        long told = entry.kind() == Kind.FAULT ? entry.number(Key.GAP).orElse(0) : 0;
        if (missing < 0) {
            tell(place + "record " + entry.seq() + " after record " + seq);
        } else if (records > 1 && missing != told && !afterDamage) {
            tell(place + "record " + entry.seq() + " after record " + seq + ", and no record says why");
        }
        seq = entry.seq();
        long cause = entry.number(Key.CAUSE).orElse(-1);
        if (cause >= entry.seq()) {
            tell(place + "its cause, record " + cause + ", does not stand before it");
        }
    }

    private void stamps(String place, Path file, Entry entry) {
        try {
            String day = entry.time().toLocalDate().toString();
            String name = file.getFileName().toString();
            if (name.startsWith("journal-") && name.compareTo("journal-" + day) < 0) {
                tell(place + "a record of " + day + " in the file of an earlier day");
            }
        } catch (DateTimeException e) {
            tell(place + "\"" + entry.at() + "\" is no time of RFC 3339");
        }
        try {
            Timecode label = Timecode.parse(entry.tc(), rate);
            long frame = entry.number(Key.FRAME).orElse(label.frame());
            if (!Timecode.wrapped(rate, frame).equals(label)) {
                tell(place + "the label " + entry.tc() + " is not that of frame " + frame);
            }
        } catch (TimeSyntaxException e) {
            tell(place + e.getMessage());
        }
    }

    private void take(String place, Entry entry) {
        long take = entry.number(Key.TAKE).orElse(-1);
        if (entry.kind() == Kind.FAULT && entry.number(Key.GAP).isPresent()) {
            openTake = UNKNOWN;
        }
        if (entry.kind() == Kind.TAKE_OPEN) {
            boolean goesOn = entry.text(Key.RESUMED).isPresent() && take == counted;
            takes += goesOn ? 0 : 1;
            counted = take;
            if (openTake >= 0 && !afterDamage) {
                tell(place + "take " + take + " is opened while take " + openTake + " is");
            }
            openTake = take;
        } else if (entry.kind() == Kind.TAKE_CLOSE) {
            if (runs > 0 && openTake != take && openTake != UNKNOWN && !afterDamage) {
                tell(place + "take " + take + " is closed, but was not opened");
            }
            openTake = -1;
            counted = -1;
        }
    }

    private void tell(String fault) {
        faults++;
        out.accept(fault);
    }
}
