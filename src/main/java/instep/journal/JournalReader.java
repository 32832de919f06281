package instep.journal;

import com.fasterxml.jackson.core.JsonFactory;
import com.fasterxml.jackson.core.JsonParser;
import com.fasterxml.jackson.jr.ob.JSON;
import java.io.Closeable;
import java.io.IOException;
import java.io.InputStream;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Arrays;
import java.util.Map;
import java.util.Optional;

/**
 * Reads a journal file from its beginning, record by record, and checks each line's checksum. The file may be written to meanwhile. What stands
 * after the last line feed is a line that is being written, or was when the power went: it is not read. Not thread-safe.
 */
public final class JournalReader implements Closeable {
    private static final JsonFactory PARSERS = new JsonFactory();

    private final Path file;
    private final InputStream in;
    private byte[] buffer = new byte[64 * 1024];
    private int start;
    private int end;
    private long line;

    private JournalReader(Path file, InputStream in) {
        this.file = file;
        this.in = in;
    }

    /** Opens a file of a journal. */
    public static JournalReader open(Path file) throws JournalException {
        try {
            return new JournalReader(file, Files.newInputStream(file));
        } catch (IOException e) {
            throw new JournalException("cannot read the journal " + file + ": " + JournalException.reason(e));
        }
    }

    /**
     * The next record; empty after the last whole line.
     *
     * @throws DamagedLineException if the line was changed after it was written; the call after that goes on with the line below
     */
    public Optional<Entry> next() throws IOException {
        int feed = lineFeed();
        if (feed < 0) {
            return Optional.empty();
        }
        int from = start;
        start = feed + 1;
        line++;
        return Optional.of(entry(from, feed - from));
    }

    /** How many bytes stand after the last whole line; known once {@link #next} has come to the end. */
    public int tornBytes() {
        return end - start;
    }

    @Override
    public void close() throws IOException {
        in.close();
    }

    private int lineFeed() throws IOException {
        int scanned = start;
        while (true) {
            for (int i = scanned; i < end; i++) {
                if (buffer[i] == '\n') {
                    return i;
                }
            }
            scanned = end - start;
            if (!fill()) {
                return -1;
            }
        }
    }

    /** Reads on, with the unread bytes moved to the buffer's beginning. */
    private boolean fill() throws IOException {
        System.arraycopy(buffer, start, buffer, 0, end - start);
        end -= start;
        start = 0;
        if (end == buffer.length) {
            buffer = Arrays.copyOf(buffer, 2 * buffer.length);
        }
        int count = in.read(buffer, end, buffer.length - end);
        end += Math.max(0, count);
        return count > 0;
    }

    private Entry entry(int from, int length) throws IOException {
        if (!LineChecksum.holds(buffer, from, length)) {
            throw new DamagedLineException(file, line, "damaged line, its checksum does not hold");
        }
        try (JsonParser parser = PARSERS.createParser(buffer, from, length)) {
            return entry(JSON.std.mapFrom(parser));
        }
    }

    private Entry entry(Map<String, Object> fields) throws IOException {
        String word = take(fields, Key.KIND).toString();
        Kind kind = Kind.named(word)
                .orElseThrow(() -> new DamagedLineException(
                        file, line, "unknown kind " + word + ": was it written by a newer instep?"));
        long seq = ((Number) take(fields, Key.SEQ)).longValue();
        String at = take(fields, Key.AT).toString();
        long mono = ((Number) take(fields, Key.MONO)).longValue();
        String tc = take(fields, Key.TC).toString();
        fields.remove(Key.CRC);
        return new Entry(seq, at, mono, tc, kind, fields);
    }

    private Object take(Map<String, Object> fields, String key) throws IOException {
        Object value = fields.remove(key);
        if (value == null) {
            throw new DamagedLineException(file, line, "the field " + key + " is missing");
        }
        return value;
    }
}
