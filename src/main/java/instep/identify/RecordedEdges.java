package instep.identify;

import instep.input.Performance;
import java.io.IOException;
import java.io.UncheckedIOException;
import java.io.Writer;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardOpenOption;
import java.util.List;

/** A performance that is written as it is played, an edge after the other. Its first edge is a second after its beginning. */
public final class RecordedEdges implements Presses.Listener, AutoCloseable {
    private static final long LEAD = 1_000_000_000L;

    private final Writer out;
    private long start = Long.MIN_VALUE;
    private long latest;

    /** Begins a file, which must not be there yet. */
    public RecordedEdges(Path file) throws IOException {
        out = Files.newBufferedWriter(file, StandardOpenOption.CREATE_NEW);
    }

    @Override
    public void edge(FoundContact contact, boolean closed, long nanos) {
        start = start == Long.MIN_VALUE ? nanos - LEAD : start;
        // Each device's times rise, but not those of two together.
        latest = Math.max(latest, nanos - start);
        Performance.Edge edge = new Performance.Edge(latest, contact.name(), closed);
        try {
            out.write(new Performance("", List.of(edge)).toText());
            out.flush();
        } catch (IOException e) {
            throw new UncheckedIOException(e);
        }
    }

    @Override
    public void close() throws IOException {
        out.close();
    }
}
