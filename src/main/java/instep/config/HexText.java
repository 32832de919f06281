package instep.config;

import java.util.Locale;
import java.util.regex.Pattern;

/** Bytes written as hex digits, with spaces between them where the writer likes. */
final class HexText {
    private static final Pattern BYTES = Pattern.compile("([0-9a-f]{2})+");

    private HexText() {}

    /** The digits alone, in lower case. */
    static String digits(Node node, Scalars scalars) {
        String form = "bytes as pairs of hex digits, such as \"02 43 0d\"";
        String text = scalars.text(node, form, "");
        String digits = text.replaceAll("\\s", "").toLowerCase(Locale.ROOT);
        if (!text.isEmpty() && !BYTES.matcher(digits).matches()) {
            scalars.expected(node, form);
            return "";
        }
        return digits;
    }
}
