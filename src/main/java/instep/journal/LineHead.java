package instep.journal;

import java.nio.charset.StandardCharsets;
import java.util.Optional;

/** Reads the head of a line without a parser: the five fields with which every line begins, in their order. Not thread-safe. */
final class LineHead {
    private static final byte[] SEQ = ascii("{\"seq\":");
    private static final byte[] AT = ascii(",\"at\":\"");
    private static final byte[] MONO = ascii("\",\"mono\":");
    private static final byte[] TC = ascii(",\"tc\":\"");
    private static final byte[] KIND = ascii("\",\"kind\":\"");

    private byte[] bytes = {};
    private int at;
    private int end;
    private long mono;

    private static byte[] ascii(String text) {
        return text.getBytes(StandardCharsets.US_ASCII);
    }

    /** The kind of a line; empty if its head is not as it is written, or the kind is unknown: then a parser has to look. */
    Optional<Kind> read(byte[] line, int from, int length) {
        bytes = line;
        at = from;
        end = from + length;
        if (!literal(SEQ) || number() < 0 || !literal(AT) || !text() || !literal(MONO)) {
            return Optional.empty();
        }
        mono = number();
        if (mono < 0 || !literal(TC) || !text() || !literal(KIND)) {
            return Optional.empty();
        }
        int word = at;
        return text() ? Kind.named(new String(bytes, word, at - word, StandardCharsets.US_ASCII)) : Optional.empty();
    }

    /** The monotonic time of the line that was read last. */
    long mono() {
        return mono;
    }

    private boolean literal(byte[] expected) {
        if (at + expected.length > end) {
            return false;
        }
        for (byte one : expected) {
            if (bytes[at++] != one) {
                return false;
            }
        }
        return true;
    }

    /** Digits; negative if there are none, or more than a number of 64 bits surely has room for. */
    private long number() {
        int first = at;
        long number = 0;
        while (at < end && bytes[at] >= '0' && bytes[at] <= '9' && at - first < 18) {
            number = number * 10 + bytes[at++] - '0';
        }
        boolean more = at < end && bytes[at] >= '0' && bytes[at] <= '9';
        return at == first || more ? -1 : number;
    }

    /** Up to the next quotation mark, without any escape before it. */
    private boolean text() {
        while (at < end && bytes[at] != '"' && bytes[at] != '\\') {
            at++;
        }
        return at < end && bytes[at] == '"';
    }
}
