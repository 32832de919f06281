package instep.journal;

import instep.time.Timecode;
import java.nio.ByteBuffer;
import java.util.Arrays;
import org.jspecify.annotations.Nullable;

/**
 * Lines of the journal as bytes: strict JSON (RFC 8259) in UTF-8, each line with its checksum and a line feed. Used on the writer's thread only.
 */
final class LineBuffer {
    private static final String HEX = "0123456789abcdef";

    private byte[] bytes = new byte[16 * 1024];
    private int length;
    private int lineStart;

    private final StringBuilder scratch = new StringBuilder(40);

    int length() {
        return length;
    }

    void clear() {
        length = 0;
        // One huge configuration must not be paid for until the end of the run.
        if (bytes.length > 1024 * 1024) {
            bytes = new byte[16 * 1024];
        }
    }

    ByteBuffer asByteBuffer() {
        return ByteBuffer.wrap(bytes, 0, length);
    }

    /** Appends the record as a whole line; {@code at} is its wall time as RFC 3339. */
    void append(Pending record, CharSequence at, Timecode label) {
        lineStart = length;
        Happening what = record.what();
        raw("{\"seq\":").number(record.seq());
        raw(",\"at\":\"").raw(at).raw("\",\"mono\":").number(record.mono());
        raw(",\"tc\":\"");
        scratch.setLength(0);
        label.appendTo(scratch);
        raw(scratch).raw("\",\"kind\":\"").raw(what.kind().word()).raw("\"");
        if (what.kind().isFramed()) {
            raw(",\"frame\":").number(record.frame());
        }
        for (int i = 0; i < what.size(); i++) {
            field(what.key(i), what.value(i));
        }
        room(LineChecksum.TAIL + 1);
        LineChecksum.seal(bytes, lineStart, length);
        length += LineChecksum.TAIL;
        bytes[length++] = '\n';
    }

    private void field(String key, @Nullable Object value) {
        if (value == null) {
            return;
        }
        raw(",\"").raw(key).raw("\":");
        if (value instanceof String text) {
            string(text);
        } else if (value instanceof Long number) {
            number(number);
        } else {
            raw(value.toString());
        }
    }

    private LineBuffer number(long number) {
        scratch.setLength(0);
        return raw(scratch.append(number));
    }

    /** ASCII that needs no escaping. */
    private LineBuffer raw(CharSequence ascii) {
        int count = ascii.length();
        room(count);
        for (int i = 0; i < count; i++) {
            bytes[length++] = (byte) ascii.charAt(i);
        }
        return this;
    }

    /** RFC 8259, section 7. Half of a surrogate pair has no UTF-8 form; it is kept as an escape. */
    void string(String text) {
        room(6 * text.length() + 2);
        bytes[length++] = '"';
        for (int i = 0; i < text.length(); i++) {
            char c = text.charAt(i);
            if (c == '"' || c == '\\') {
                bytes[length++] = '\\';
                bytes[length++] = (byte) c;
            } else if (c < 0x20) {
                escape(c);
            } else if (c < 0x80) {
                bytes[length++] = (byte) c;
            } else if (!Character.isSurrogate(c)) {
                utf8(c);
            } else if (Character.isHighSurrogate(c)
                    && i + 1 < text.length()
                    && Character.isLowSurrogate(text.charAt(i + 1))) {
                utf8(Character.toCodePoint(c, text.charAt(++i)));
            } else {
                escape(c);
            }
        }
        bytes[length++] = '"';
    }

    private void escape(char c) {
        bytes[length++] = '\\';
        bytes[length++] = 'u';
        for (int shift = 12; shift >= 0; shift -= 4) {
            bytes[length++] = (byte) HEX.charAt((c >>> shift) & 15);
        }
    }

    private void utf8(int point) {
        if (point < 0x800) {
            bytes[length++] = (byte) (0xC0 | (point >> 6));
        } else if (point < 0x10000) {
            bytes[length++] = (byte) (0xE0 | (point >> 12));
            bytes[length++] = (byte) (0x80 | ((point >> 6) & 0x3F));
        } else {
            bytes[length++] = (byte) (0xF0 | (point >> 18));
            bytes[length++] = (byte) (0x80 | ((point >> 12) & 0x3F));
            bytes[length++] = (byte) (0x80 | ((point >> 6) & 0x3F));
        }
        bytes[length++] = (byte) (0x80 | (point & 0x3F));
    }

    private void room(int more) {
        if (length + more > bytes.length) {
            bytes = Arrays.copyOf(bytes, Math.max(length + more, 2 * bytes.length));
        }
    }
}
