package instep.journal;

import instep.time.FrameRate;
import java.io.Closeable;
import java.io.IOException;
import java.nio.channels.FileChannel;
import java.nio.file.Path;
import java.util.Optional;
import java.util.OptionalLong;
import java.util.concurrent.locks.LockSupport;
import java.util.function.Consumer;
import java.util.function.LongUnaryOperator;

/**
 * The record of all that happened, kept in a folder in one file a day; the format is specified in docs/journal.md.
 *
 * <p>{@link #append}, {@link #flush} and {@link #close} belong to one thread, the loop's. Appending puts a small object into a queue: it neither blocks
 * nor locks nor formats. A thread of the journal's own writes and forces, and then hands a line for people to the event log. While the disk
 * does not take records, up to a limit are kept in memory; those beyond it are counted, and a fault in the journal says how many are missing.
 */
public final class Journal implements Records, Closeable {
    private static final long CLOSING_MILLIS = 5_000;
    private static final long LOOK_NANOS = 1_000_000;

    private final JournalSettings settings;
    private final LongUnaryOperator wallAt;
    private final FileChannel lock;
    private final JournalWriter writer;
    private final Thread thread;
    private final Optional<TornTail> tornTail;

    private long seq;
    private long queued;
    private long lost;
    private long unreported;
    private long lastMono;
    private long lastFrame;
    private boolean fresh;

    private Journal(JournalSettings settings, LongUnaryOperator wallAt, FileChannel lock, JournalWriter writer) {
        this.settings = settings;
        this.wallAt = wallAt;
        this.lock = lock;
        this.writer = writer;
        this.tornTail = writer.tornTail();
        this.thread = new Thread(writer, "journal");
        thread.setDaemon(true);
        thread.start();
    }

    /**
     * Opens the journal of the day, and goes on after its last whole line if there is one.
     *
     * @param wallAt from a monotonic instant to nanoseconds since 1970-01-01T00:00:00Z; called where records are appended
     * @param eventLog takes the lines for people; called on the writer's thread
     * @throws JournalException if the folder cannot be written to, or another process is writing there
     */
    public static Journal open(JournalSettings settings, LongUnaryOperator wallAt, Consumer<String> eventLog)
            throws JournalException {
        return open(settings, wallAt, eventLog, Disk.REAL);
    }

    /** The same, and somebody sees each record. */
    public static Journal open(
            JournalSettings settings, LongUnaryOperator wallAt, Consumer<String> eventLog, Watch watch)
            throws JournalException {
        return open(settings, System.nanoTime(), wallAt, new Readers(eventLog, watch), Disk.REAL);
    }

    /** The same on another disk than the real one. */
    public static Journal open(
            JournalSettings settings, LongUnaryOperator wallAt, Consumer<String> eventLog, Watch watch, Disk disk)
            throws JournalException {
        return open(settings, System.nanoTime(), wallAt, new Readers(eventLog, watch), disk);
    }

    /** The same for records of another time, of which the first is of the monotonic instant {@code first}. */
    public static Journal openAt(
            long first, JournalSettings settings, LongUnaryOperator wallAt, Consumer<String> eventLog)
            throws JournalException {
        return open(settings, first, wallAt, new Readers(eventLog, Watch.NOBODY), Disk.REAL);
    }

    static Journal open(JournalSettings settings, LongUnaryOperator wallAt, Consumer<String> eventLog, Disk disk)
            throws JournalException {
        return open(settings, System.nanoTime(), wallAt, new Readers(eventLog, Watch.NOBODY), disk);
    }

    private static Journal open(
            JournalSettings settings, long first, LongUnaryOperator wallAt, Readers readers, Disk disk)
            throws JournalException {
        FileChannel lock = JournalFolder.lock(settings.folder());
        try {
            long now = wallAt.applyAsLong(first);
            return new Journal(settings, wallAt, lock, new JournalWriter(settings, now, readers, disk));
        } catch (IOException e) {
            release(lock);
            throw JournalException.unwritable(settings.folder(), e);
        }
    }

    /**
     * Takes note of what happened at a monotonic instant.
     *
     * @param frame the frame at that instant, counted on over midnight
     * @return the number of the record, by which later ones can name it as their cause
     */
    @Override
    public long append(long mono, long frame, Happening what) {
        lastMono = mono;
        lastFrame = frame;
        if (pending() >= settings.limit()) {
            lost++;
            unreported++;
            return ++seq;
        }
        reportFaults();
        return enqueue(what);
    }

    /** Wakes the writer if there is something new for it. To be called once at the end of each turn of the loop. */
    @Override
    public void flush() {
        if (fresh) {
            fresh = false;
            LockSupport.unpark(thread);
        }
    }

    /** How many records are on their way to the file. */
    public long pending() {
        return queued - writer.written();
    }

    /** How many records were given up since the journal was opened. */
    public long lost() {
        return lost;
    }

    /** Why the journal cannot be written at present. From any thread. */
    public Optional<String> failing() {
        return writer.failing().reason();
    }

    /** The instant of the oldest record that the journal's thread has not yet taken; empty if there is none. From any thread. */
    public OptionalLong oldestWaiting() {
        return writer.oldestWaiting();
    }

    /** What was cut off the day's file when it was opened. */
    public Optional<TornTail> tornTail() {
        return tornTail;
    }

    /** A sentence, if it had come to a later day already than the clock has. */
    public Optional<String> behind() {
        return writer.behind();
    }

    public Path folder() {
        return settings.folder();
    }

    public FrameRate rate() {
        return settings.rate();
    }

    /** Writes and forces what is pending, for at most ten seconds, and gives the folder free. */
    @Override
    public void close() {
        awaitWritten();
        reportFaults();
        writer.end();
        LockSupport.unpark(thread);
        try {
            thread.join(CLOSING_MILLIS);
        } catch (InterruptedException e) {
            Thread.currentThread().interrupt();
        }
        // A writer that is still stuck in the disk keeps the folder until the process ends.
        if (!thread.isAlive()) {
            release(lock);
        }
    }

    /** So that what the journal has to say of itself on the way is written, too. */
    private void awaitWritten() {
        flush();
        long until = System.nanoTime() + CLOSING_MILLIS * 1_000_000;
        while (pending() > 0 && failing().isEmpty() && thread.isAlive() && System.nanoTime() < until) {
            LockSupport.parkNanos(this, LOOK_NANOS);
        }
    }

    Thread.State threadState() {
        return thread.getState();
    }

    private void reportFaults() {
        if (unreported > 0) {
            enqueue(Gaps.lost(unreported));
            unreported = 0;
        }
        Failing failing = writer.failing();
        for (Happening own = failing.takeRecord(); own != null; own = failing.takeRecord()) {
            enqueue(own);
        }
    }

    private long enqueue(Happening what) {
        queued++;
        fresh = true;
        writer.enqueue(new Pending(++seq, lastMono, wallAt.applyAsLong(lastMono), lastFrame, what));
        return seq;
    }

    private static void release(FileChannel lock) {
        try {
            lock.close();
        } catch (IOException e) {
            // The lock ends with the process in any case.
            lock.isOpen();
        }
    }
}
