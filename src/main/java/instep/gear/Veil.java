package instep.gear;

import java.nio.charset.StandardCharsets;
import java.util.Arrays;
import java.util.Comparator;
import java.util.List;

/** Hides texts in what is shown, whole or cut off. Not thread-safe. */
final class Veil {
    private static final String INSTEAD = "(secret)";
    private static final String CUT_OFF = "…";
    /** What a text ends with by chance is no part of a secret. */
    private static final int LEAST = 3;

    private final List<String> hidden;

    Veil(List<String> hidden) {
        // The longest first, since another may be a part of it.
        this.hidden = hidden.stream()
                .filter(text -> !text.isEmpty())
                .distinct()
                .sorted(Comparator.comparing(String::length).reversed())
                .toList();
    }

    /** The text without them; one that was cut off in the middle of them ends before. */
    String over(String text) {
        if (hidden.isEmpty()) {
            return text;
        }
        String shown = text;
        for (String secret : hidden) {
            shown = shown.replace(secret, INSTEAD);
        }
        boolean isCut = shown.endsWith(CUT_OFF);
        String rest = isCut ? shown.substring(0, shown.length() - CUT_OFF.length()) : shown;
        int part = 0;
        for (String secret : hidden) {
            part = Math.max(part, partAtTheEnd(rest, secret));
        }
        return part < LEAST ? shown : rest.substring(0, rest.length() - part) + INSTEAD + (isCut ? CUT_OFF : "");
    }

    private static int partAtTheEnd(String text, String secret) {
        for (int length = Math.min(secret.length() - 1, text.length()); length > 0; length--) {
            if (text.endsWith(secret.substring(0, length))) {
                return length;
            }
        }
        return 0;
    }

    /** The same for bytes that come one piece after the other. */
    Stream stream() {
        return new Stream(hidden);
    }

    /** One direction of a connection: has an asterisk for each byte of those texts, also where a text is spread over several pieces. */
    static final class Stream {
        private final byte[][] secrets;
        private final int longest;
        /** The end of what has come, in which a text may have begun. */
        private byte[] before = new byte[0];

        private Stream(List<String> hidden) {
            secrets = hidden.stream()
                    .map(text -> text.getBytes(StandardCharsets.UTF_8))
                    .toArray(byte[][]::new);
            longest = Arrays.stream(secrets).mapToInt(text -> text.length).max().orElse(1);
        }

        /** What may be shown of the next piece. That a text may go on in the piece after it hides its beginning already. */
        byte[] over(byte[] piece) {
            byte[] all = Arrays.copyOf(before, before.length + piece.length);
            System.arraycopy(piece, 0, all, before.length, piece.length);
            byte[] shown = piece.clone();
            for (byte[] secret : secrets) {
                for (int at = 0; at < all.length; at++) {
                    int length = Math.min(secret.length, all.length - at);
                    if (Arrays.equals(all, at, at + length, secret, 0, length)) {
                        int from = Math.max(0, at - before.length);
                        Arrays.fill(shown, from, Math.max(from, at + length - before.length), (byte) '*');
                    }
                }
            }
            before = Arrays.copyOfRange(all, Math.max(0, all.length - longest + 1), all.length);
            return shown;
        }
    }
}
