package instep.journal;

import java.io.Closeable;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;

/** Follows a journal as it grows, over the beginning of new files. It looks four times a second. Not thread-safe. */
public final class JournalFollower implements Closeable {
    private final Path place;
    private Path file;
    private JournalReader reader;

    private JournalFollower(Path place, Path first) throws JournalException {
        this.place = place;
        this.file = first;
        this.reader = JournalReader.open(first);
    }

    /** Stands at the beginning of the journal in that folder, or of that file. */
    public static JournalFollower open(Path place) throws JournalException {
        List<Path> files = JournalScan.files(place);
        if (files.isEmpty()) {
            throw new JournalException("there is no journal in " + place.toAbsolutePath()
                    + " yet. Name the folder that instep keeps its journal in.");
        }
        return new JournalFollower(place, files.get(0));
    }

    /** Shows what is there, then looks again and again until the thread is interrupted. */
    public void follow(JournalScan.Visitor visitor) throws IOException {
        while (!Thread.currentThread().isInterrupted()) {
            look(visitor);
            try {
                Thread.sleep(LogFollower.PAUSE_MILLIS);
            } catch (InterruptedException e) {
                Thread.currentThread().interrupt();
            }
        }
    }

    /** Shows every whole line that has come since the last look. */
    public void look(JournalScan.Visitor visitor) throws IOException {
        drain(visitor);
        List<Path> files = Files.isRegularFile(place) ? List.of() : JournalFolder.journals(place);
        // The file that was read may have been removed meanwhile, to keep the budget.
        List<Path> later = files.stream()
                .filter(other -> JournalFolder.ORDER.compare(other, file) > 0)
                .toList();
        for (Path next : later) {
            // What was written to the last file after it was read, but before the next one began.
            drain(visitor);
            reader.close();
            file = next;
            reader = JournalReader.open(next);
            drain(visitor);
        }
    }

    private void drain(JournalScan.Visitor visitor) throws IOException {
        boolean more = true;
        while (more) {
            more = JournalScan.step(file, reader, visitor);
        }
        reader.forgetTail();
    }

    @Override
    public void close() throws IOException {
        reader.close();
    }
}
