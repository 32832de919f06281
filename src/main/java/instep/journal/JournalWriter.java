package instep.journal;

import instep.time.Timecode;
import java.io.IOException;
import java.util.ArrayDeque;
import java.util.Deque;
import java.util.Optional;
import java.util.OptionalLong;
import java.util.concurrent.ConcurrentLinkedQueue;
import java.util.concurrent.atomic.AtomicLong;
import java.util.concurrent.locks.LockSupport;

/**
 * The journal's own thread: takes records from the queue, writes them in groups, forces them as the durability asks, and shows them in the event
 * log. With nothing to do it sleeps until it is woken, or somebody who looks on has waited for long enough. A record leaves memory only when the file has it.
 */
final class JournalWriter implements Runnable {
    private static final long FORCE_NANOS = 100_000_000L;
    private static final long RETRY_NANOS = 1_000_000_000L;
    private static final int GROUP_BYTES = 64 * 1024;

    private final JournalSettings settings;
    private final Keeping keeping;
    private final Disk disk;
    private final EventLines events;
    private final Watch watch;
    private final Failing failing;
    private final Optional<String> behind;

    private final ConcurrentLinkedQueue<Pending> queue = new ConcurrentLinkedQueue<>();
    private final AtomicLong written = new AtomicLong();
    private volatile boolean ending;

    private final Deque<Pending> kept = new ArrayDeque<>();
    private final LineBuffer lines = new LineBuffer();
    private final StringBuilder at = new StringBuilder(35);
    private DayFile file;
    private boolean takeIsOpen;
    private long shownSeq;
    private boolean unforced;
    private long unforcedSince;

    /** For the file of the day of {@code now}, in nanoseconds since 1970-01-01T00:00:00Z. */
    JournalWriter(JournalSettings settings, long now, Readers readers, Disk disk) throws IOException {
        this.settings = settings;
        this.keeping = settings.keeping();
        this.disk = disk;
        this.events = new EventLines(settings.rate(), readers.eventLog());
        this.watch = readers.watch();
        this.failing = new Failing(settings, watch, events);
        String today = Rfc3339.text(now, settings.zone()).substring(0, 10);
        this.file = DayFile.open(settings.folder(), today, disk);
        this.behind = file.day().equals(today) ? Optional.empty() : Optional.of(behind(today, file));
    }

    private static String behind(String today, DayFile file) {
        return "this computer's clock says that it is " + today + ", but the journal has come to " + file.day()
                + " already: the clock is behind, or was ahead then. Records go on in "
                + file.path().getFileName() + "; set the clock before you rely on times of day";
    }

    void enqueue(Pending record) {
        queue.add(record);
    }

    long written() {
        return written.get();
    }

    OptionalLong oldestWaiting() {
        Pending oldest = queue.peek();
        return oldest == null ? OptionalLong.empty() : OptionalLong.of(oldest.mono());
    }

    Optional<TornTail> tornTail() {
        return file.tornTail();
    }

    Optional<String> behind() {
        return behind;
    }

    /** What the journal has to say about itself. */
    Failing failing() {
        return failing;
    }

    /** Asks the thread to write what is there and to end. */
    void end() {
        ending = true;
    }

    @Override
    public void run() {
        try {
            keepBudget();
            boolean last;
            do {
                last = ending;
                collect();
                write();
                force(last);
                if (!last) {
                    pause();
                }
            } while (!last);
            closeFile();
            failing.sayWhatIsLeft(kept.size());
        } catch (RuntimeException | Error e) {
            failing.writerFailed(e);
            throw e;
        }
    }

    private void collect() {
        for (Pending record = queue.poll(); record != null; record = queue.poll()) {
            kept.add(record);
        }
    }

    private void write() {
        try {
            while (!kept.isEmpty()) {
                long began = System.nanoTime();
                int count = fillGroup();
                file.append(lines.asByteBuffer());
                written(began);
                release(count);
            }
        } catch (IOException e) {
            failing.begins(e);
        }
        kept.forEach(this::show);
        watch.caughtUp();
    }

    /** Puts as many records into the buffer as belong into one file and one write. */
    private int fillGroup() throws IOException {
        lines.clear();
        int count = 0;
        boolean isTakeOpen = takeIsOpen;
        for (Pending record : kept) {
            at.setLength(0);
            Rfc3339.append(at, record.wall(), settings.zone());
            String day = at.indexOf(file.day()) == 0 ? file.day() : at.substring(0, 10);
            // Days only go forward, so that the order of the files is the order of the records.
            boolean isNext = day.compareTo(file.day()) > 0;
            boolean isFull = isFull(file.size() + lines.length(), isTakeOpen);
            if (count > 0 && (isNext || isFull || lines.length() >= GROUP_BYTES)) {
                break;
            }
            if (isNext) {
                turnTo(DayFile.open(settings.folder(), day, disk));
            } else if (isFull) {
                turnTo(file.next());
            }
            lines.append(record, at, Timecode.wrapped(settings.rate(), record.frame()));
            isTakeOpen = isTakeOpenAfter(record, isTakeOpen);
            count++;
        }
        return count;
    }

    /** A file ends between two takes if it can, so that old takes can be removed by the file. */
    private boolean isFull(long bytes, boolean isTakeOpen) {
        return bytes >= keeping.fileBytes() && (!isTakeOpen || bytes >= 2 * keeping.fileBytes());
    }

    private static boolean isTakeOpenAfter(Pending record, boolean before) {
        Kind kind = record.what().kind();
        return kind == Kind.TAKE_OPEN || (before && kind != Kind.TAKE_CLOSE);
    }

    private void turnTo(DayFile next) throws IOException {
        force(true);
        closeFile();
        file = next;
        next.tornTail().ifPresent(tail -> failing.fault(tail.sentence()));
        keepBudget();
    }

    private void keepBudget() {
        try {
            new Budget(settings.folder(), keeping.budgetBytes()).keep(file.path(), failing::note);
        } catch (IOException e) {
            failing.fault("old takes could not be removed from the journal: " + JournalException.reason(e));
        }
    }

    private void written(long began) {
        if (!unforced) {
            unforced = true;
            unforcedSince = System.nanoTime();
        }
        if (keeping.durability() == Durability.EACH) {
            force(true);
        }
        failing.ends();
        failing.sayIfSlow(began);
    }

    /** A record that the file has is shown, and forgotten. */
    private void release(int count) {
        for (int i = 0; i < count; i++) {
            Pending record = kept.remove();
            takeIsOpen = isTakeOpenAfter(record, takeIsOpen);
            show(record);
        }
        written.lazySet(written.get() + count);
    }

    private void show(Pending record) {
        if (record.seq() > shownSeq) {
            shownSeq = record.seq();
            watch.saw(record.mono(), record.frame(), record.what());
            events.show(record);
        }
    }

    private void force(boolean now) {
        boolean due = now || (keeping.durability() == Durability.GROUP && forceIn() <= 0);
        if (!unforced || !due) {
            return;
        }
        long began = System.nanoTime();
        try {
            file.force();
        } catch (IOException e) {
            failing.fault("the disk failed to keep the journal (" + JournalException.reason(e)
                    + "): records of the last moments may be gone after a power cut");
        }
        unforced = false;
        failing.sayIfSlow(began);
    }

    private long forceIn() {
        return unforcedSince + FORCE_NANOS - System.nanoTime();
    }

    private void pause() {
        if (failing.isOn()) {
            LockSupport.parkNanos(this, RETRY_NANOS);
        } else if (unforced && keeping.durability() == Durability.GROUP) {
            LockSupport.parkNanos(this, Math.max(1, forceIn()));
        } else if (queue.isEmpty()) {
            sleep(watch.patience());
        }
    }

    private void sleep(long nanos) {
        if (nanos == Long.MAX_VALUE) {
            LockSupport.park(this);
        } else {
            LockSupport.parkNanos(this, nanos);
        }
    }

    private void closeFile() {
        try {
            file.close();
        } catch (IOException e) {
            failing.fault("closing the journal failed: " + JournalException.reason(e));
        }
    }
}
