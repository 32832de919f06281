package instep.gear;

import io.netty.buffer.ByteBuf;
import java.nio.charset.StandardCharsets;
import java.util.function.Consumer;

/** Cuts a stream of bytes into lines at LF, CR LF or CR. Empty lines are left out. */
final class Lines {
    static final int LONGEST_BYTES = 8 * 1_024;

    private final Consumer<String> each;
    private final byte[] line = new byte[LONGEST_BYTES];
    private int length;

    /** Gives {@code each} the lines, as UTF-8, with the control characters shown as U+FFFD. */
    Lines(Consumer<String> each) {
        this.each = each;
    }

    /** Takes all of {@code bytes}, or returns false when a line is longer than 8192 bytes. */
    boolean take(ByteBuf bytes) {
        while (bytes.isReadable()) {
            byte b = bytes.readByte();
            if (b == '\n' || b == '\r') {
                end();
            } else if (length == LONGEST_BYTES) {
                return false;
            } else {
                line[length++] = b;
            }
        }
        return true;
    }

    private void end() {
        if (length > 0) {
            String text = new String(line, 0, length, StandardCharsets.UTF_8);
            length = 0;
            each.accept(printable(text));
        }
    }

    /** A reply lands in logs and on terminals, where it must not be able to move the cursor. */
    static String printable(String text) {
        for (int i = 0; i < text.length(); i++) {
            if (Character.isISOControl(text.charAt(i)) && text.charAt(i) != '\t') {
                return text.replaceAll("[\\p{Cntrl}\\x80-\\x9f&&[^\\t]]", "\uFFFD");
            }
        }
        return text;
    }
}
