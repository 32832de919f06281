package instep.rehearsal;

import instep.journal.DamagedLineException;
import instep.journal.Entry;
import instep.journal.JournalReader;
import instep.journal.Kind;
import java.io.Closeable;
import java.io.IOException;
import java.nio.file.Path;
import java.util.EnumSet;
import java.util.List;
import java.util.Optional;
import java.util.Set;

/**
 * Reads the records of a run from the files of its journal, as many as it had when it was looked for: whoever goes through a run that goes on meanwhile sees the same records each time. What gear was
 * told is left out, and lines that are damaged. Not thread-safe.
 */
final class RunReader implements Closeable {
    private static final Set<Kind> LEFT_OUT = EnumSet.of(Kind.POSITION, Kind.SENT, Kind.MISSED);
    private static final Set<Kind> READ = EnumSet.complementOf(EnumSet.copyOf(LEFT_OUT));

    private final List<Path> files;
    private final Extent extent;
    private JournalReader reader;
    private int next = 1;
    private long count;

    /**
     * What is a run's in a journal.
     *
     * @param file in which it begins
     * @param line on which it begins there, from 1
     * @param start the record that stands there
     * @param records how many it has, but for those that are left out
     * @param last the number of the last of them
     */
    record Extent(Path file, long line, Entry start, long records, long last) {}

    private RunReader(List<Path> files, Extent extent) throws IOException {
        this.files = files;
        this.extent = extent;
        reader = JournalReader.open(files.get(0), READ);
    }

    /** Opens the run; {@code files} are those of the journal, in their order. */
    static RunReader open(List<Path> files, Extent extent) throws IOException {
        int first = files.indexOf(extent.file());
        if (first < 0) {
            throw changed(extent);
        }
        return new RunReader(files.subList(first, files.size()), extent);
    }

    /** Whether no reader shows that record. */
    static boolean isLeftOut(Entry entry) {
        return LEFT_OUT.contains(entry.kind());
    }

    /**
     * The next record; empty after the last one that the run had when it was looked for.
     *
     * @throws IOException if records are not there any more that were there then
     */
    Optional<Entry> next() throws IOException {
        if (count == extent.records()) {
            return Optional.empty();
        }
        Optional<Entry> entry = count == 0 ? first() : following();
        count++;
        if (entry.isEmpty() || (count == extent.records() && entry.get().seq() != extent.last())) {
            throw changed(extent);
        }
        return entry;
    }

    private Optional<Entry> first() throws IOException {
        Optional<Entry> entry = good();
        while (entry.isPresent() && reader.line() < extent.line()) {
            entry = good();
        }
        return entry.filter(extent.start()::equals);
    }

    private Optional<Entry> following() throws IOException {
        Optional<Entry> entry = good();
        while (entry.isEmpty() && next < files.size()) {
            reader.close();
            reader = JournalReader.open(files.get(next++), READ);
            entry = good();
        }
        return entry;
    }

    /** Of this file; a damaged line was told of when the run was looked for. */
    private Optional<Entry> good() throws IOException {
        while (true) {
            try {
                return reader.next();
            } catch (DamagedLineException e) {
                // The next good one is further on.
                reader.line();
            }
        }
    }

    private static IOException changed(Extent extent) {
        return new IOException(
                "records of the run of " + extent.start().at() + " were removed from the journal while it"
                        + " was being read, as when a daemon keeps it within its budget: try once more");
    }

    @Override
    public void close() throws IOException {
        reader.close();
    }
}
