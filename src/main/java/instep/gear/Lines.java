package instep.gear;

import io.netty.buffer.ByteBuf;
import java.nio.charset.StandardCharsets;
import java.util.function.Consumer;

/** Cuts a stream of bytes into lines at LF, CR LF or CR. Empty lines are left out. */
final class Lines implements Frames {
    private final Consumer<String> each;
    private final byte[] line = new byte[LONGEST_BYTES];
    private int length;

    /** Gives {@code each} the lines, as UTF-8, with the control characters shown as U+FFFD. */
    Lines(Consumer<String> each) {
        this.each = each;
    }

    @Override
    public boolean take(ByteBuf bytes) {
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

    @Override
    public String excess() {
        return "sent more than " + LONGEST_BYTES
                + " bytes without a line end: if it does not speak in lines, write line-end: none";
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
