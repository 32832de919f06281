package instep.journal;

import com.fasterxml.jackson.core.JsonFactory;
import com.fasterxml.jackson.core.JsonParser;
import com.fasterxml.jackson.core.JsonProcessingException;
import com.fasterxml.jackson.core.JsonToken;
import java.io.Closeable;
import java.io.IOException;
import java.nio.ByteBuffer;
import java.nio.channels.SeekableByteChannel;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Arrays;
import java.util.EnumSet;
import java.util.LinkedHashMap;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalLong;
import java.util.Set;

/**
 * Reads a journal file from its beginning, record by record, and checks each line's checksum. The file may be written to meanwhile. What stands
 * after the last line feed is a line that is being written, or was when the power went: it is not read. Not thread-safe.
 */
public final class JournalReader implements Closeable {
    /** The version of the format; one that is older is read as well. */
    static final long FORMAT = 1;

    /** No record is longer: a configuration of a few files has 1 MiB at most, and escapes in it. */
    private static final int LONGEST = 8 << 20;
    /** So much of a longer line is kept. */
    private static final int KEPT = 1 << 20;

    private static final JsonFactory PARSERS = new JsonFactory();

    private final Path file;
    private final SeekableByteChannel in;
    private byte[] buffer = new byte[64 * 1024];
    private int start;
    private int end;
    private long line;
    private int lineStart;
    private int lineLength;
    /** So much of the line that is being read was let go, since it is longer than any record. */
    private long letGo;

    private final Set<Kind> wanted;
    private final LineHead head = new LineHead();
    private OptionalLong passed = OptionalLong.empty();

    private JournalReader(Path file, SeekableByteChannel in, Set<Kind> wanted) {
        this.file = file;
        this.in = in;
        this.wanted = wanted;
    }

    /** Opens a file of a journal. */
    public static JournalReader open(Path file) throws JournalException {
        return open(file, EnumSet.allOf(Kind.class));
    }

    /** Opens a file of a journal to read records of these kinds; others are passed over quickly, though not without a look at their checksums. */
    public static JournalReader open(Path file, Set<Kind> wanted) throws JournalException {
        try {
            return new JournalReader(file, Files.newByteChannel(file), wanted);
        } catch (IOException e) {
            throw new JournalException("cannot read the journal " + file + ": " + JournalException.reason(e));
        }
    }

    /**
     * The next record; empty after the last whole line.
     *
     * @throws JournalException if a newer program wrote it in a newer format
     * @throws DamagedLineException if the line was changed after it was written; the call after that goes on with the line below
     */
    public Optional<Entry> next() throws IOException {
        passed = OptionalLong.empty();
        for (int feed = lineFeed(); feed >= 0; feed = lineFeed()) {
            lineStart = start;
            lineLength = feed - start;
            start = feed + 1;
            letGo = 0;
            line++;
            if (!isPassedOver()) {
                return Optional.of(entry(lineStart, lineLength));
            }
        }
        return Optional.empty();
    }

    /** The latest monotonic time of the records that the last {@link #next} has passed over, if there were any. */
    public OptionalLong passed() {
        return passed;
    }

    /** What is not as it is always written is left to the parser. */
    private boolean isPassedOver() {
        if (wanted.size() == Kind.values().length || !LineChecksum.holds(buffer, lineStart, lineLength)) {
            return false;
        }
        boolean over = head.read(buffer, lineStart, lineLength)
                .filter(kind -> !wanted.contains(kind))
                .isPresent();
        if (over) {
            passed = OptionalLong.of(Math.max(passed.orElse(Long.MIN_VALUE), head.mono()));
        }
        return over;
    }

    /** The line that {@link #next} looked at last, good or damaged, counted from 1. */
    public long line() {
        return line;
    }

    /** The bytes of that line without its line feed; to be asked before the next call. */
    byte[] bytes() {
        return Arrays.copyOfRange(buffer, lineStart, lineStart + lineLength);
    }

    /** How many bytes stand after the last whole line; known once {@link #next} has come to the end. */
    public long tornBytes() {
        return letGo + end - start;
    }

    /** Reads what stands after the last whole line once more, the next time: it may be a torn tail, in whose place another line will stand. */
    void forgetTail() throws IOException {
        in.position(in.position() - tornBytes());
        end = start;
        letGo = 0;
    }

    /** How many bytes it holds to read from. */
    int held() {
        return buffer.length;
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
            int count = fill();
            if (count <= 0) {
                return -1;
            }
            scanned = end - count;
        }
    }

    /**
     * Reads on, with the unread bytes moved to the buffer's beginning; gives how many have come. Of what is no line, such as the zeros of a block that was never written, the end is
     * enough: a line may follow it.
     */
    private int fill() throws IOException {
        if (end - start >= LONGEST) {
            letGo += end - start - KEPT;
            start = end - KEPT;
        }
        System.arraycopy(buffer, start, buffer, 0, end - start);
        end -= start;
        start = 0;
        if (end == buffer.length) {
            buffer = Arrays.copyOf(buffer, 2 * buffer.length);
        }
        int count = in.read(ByteBuffer.wrap(buffer, end, buffer.length - end));
        end += Math.max(0, count);
        return count;
    }

    private Entry entry(int from, int length) throws IOException {
        if (!LineChecksum.holds(buffer, from, length)) {
            throw damaged("damaged line, its checksum does not hold");
        }
        try (JsonParser parser = PARSERS.createParser(buffer, from, length)) {
            return entry(parser);
        } catch (JsonProcessingException e) {
            throw damaged("no JSON: " + e.getOriginalMessage());
        }
    }

    /** Pulls the fields one by one: the common ones need no map. */
    private Entry entry(JsonParser parser) throws IOException {
        long seq = -1;
        long mono = 0;
        String at = "";
        String tc = "";
        String kind = "";
        Map<String, Object> fields = new LinkedHashMap<>();
        parser.nextToken();
        for (String key = parser.nextFieldName(); key != null; key = parser.nextFieldName()) {
            JsonToken token = parser.nextToken();
            switch (key) {
                case Key.SEQ -> seq = parser.getLongValue();
                case Key.AT -> at = parser.getText();
                case Key.MONO -> mono = parser.getLongValue();
                case Key.TC -> tc = parser.getText();
                case Key.KIND -> kind = parser.getText();
                case Key.CRC -> {}
                default -> fields.put(key, value(parser, token));
            }
        }
        refuseNewer(kind, fields);
        return new Entry(seq, at, mono, tc, kind(kind), fields);
    }

    private void refuseNewer(String kind, Map<String, Object> fields) throws NewerFormatException {
        if (kind.equals(Kind.START.word())
                && fields.get(Key.FORMAT) instanceof Number format
                && format.longValue() > FORMAT) {
            throw new NewerFormatException(file, line, format, String.valueOf(fields.get(Key.VERSION)));
        }
    }

    private Object value(JsonParser parser, JsonToken token) throws IOException {
        if (token.isNumeric()) {
            return parser.getNumberValue();
        }
        if (token.isBoolean()) {
            return token == JsonToken.VALUE_TRUE;
        }
        if (token == JsonToken.VALUE_STRING) {
            return parser.getText();
        }
        throw damaged("a value that is neither text, number nor boolean");
    }

    private Kind kind(String word) throws DamagedLineException {
        return Kind.named(word)
                .orElseThrow(() -> damaged("unknown kind \"" + word + "\": was it written by a newer instep?"));
    }

    /** A lone line of that file whose checksum holds; empty if it is no record all the same. */
    static Optional<Entry> parse(Path file, long line, byte[] bytes) throws IOException {
        try (JournalReader reader = open(file)) {
            reader.buffer = bytes;
            reader.line = line;
            return Optional.of(reader.entry(0, bytes.length));
        } catch (DamagedLineException e) {
            return Optional.empty();
        }
    }

    private DamagedLineException damaged(String what) {
        return new DamagedLineException(file, line, what);
    }
}
