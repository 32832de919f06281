package instep.journal;

import java.nio.charset.StandardCharsets;
import java.util.Arrays;
import java.util.zip.CRC32C;

/**
 * The checksum with which each line of the journal ends: CRC-32C (RFC 3720, section 12.1) over the line's bytes from its opening brace up to, and
 * without, the comma before {@code "crc"}.
 *
 * <pre>
 * {"seq":7,…,"kind":"take-open","frame":900307,"take":1,"crc":"xxxxxxxx"}
 * └────────────────── these bytes ──────────────────┘└──── 18 bytes ────┘
 * </pre>
 */
final class LineChecksum {
    /** Bytes that follow the checked ones, up to the closing brace. */
    static final int TAIL = 18;

    private static final byte[] LEAD = (",\"" + Key.CRC + "\":\"").getBytes(StandardCharsets.US_ASCII);
    private static final byte[] HEX = "0123456789abcdef".getBytes(StandardCharsets.US_ASCII);

    private LineChecksum() {}

    /** Writes the tail for the line that begins at {@code from} and so far ends before {@code at}; the array has room for it. */
    static void seal(byte[] bytes, int from, int at) {
        tail(bytes, at, crc(bytes, from, at - from));
    }

    /** Whether the bytes of a line, without its line feed, end in their own checksum. */
    static boolean holds(byte[] bytes, int from, int length) {
        int checked = length - TAIL;
        if (checked < 1 || bytes[from] != '{') {
            return false;
        }
        byte[] expected = new byte[TAIL];
        tail(expected, 0, crc(bytes, from, checked));
        return Arrays.equals(bytes, from + checked, from + length, expected, 0, TAIL);
    }

    private static void tail(byte[] bytes, int at, int crc) {
        System.arraycopy(LEAD, 0, bytes, at, LEAD.length);
        int out = at + LEAD.length;
        for (int shift = 28; shift >= 0; shift -= 4) {
            bytes[out++] = HEX[(crc >>> shift) & 15];
        }
        bytes[out++] = '"';
        bytes[out] = '}';
    }

    private static int crc(byte[] bytes, int from, int length) {
        CRC32C crc = new CRC32C();
        crc.update(bytes, from, length);
        return (int) crc.getValue();
    }
}
