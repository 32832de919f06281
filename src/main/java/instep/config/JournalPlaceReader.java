package instep.config;

import instep.config.Node.Entry;
import instep.config.Node.Scalar;
import instep.journal.Durability;
import instep.journal.Keeping;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import org.jspecify.annotations.Nullable;

/** Reads {@code journal}. */
final class JournalPlaceReader {
    static final List<String> KEYS = List.of("folder", "durability", "file-size", "budget");
    static final Map<String, Durability> DURABILITIES = new LinkedHashMap<>();

    private static final Pattern SIZE = Pattern.compile("([1-9][0-9]{0,5}) ?([MG])B");
    /** One that is being written, which a long take may double, and one that is over. */
    private static final long FILES = 4;

    private static final long MEGA = 1_000_000;

    static {
        DURABILITIES.put("each", Durability.EACH);
        DURABILITIES.put("100ms", Durability.GROUP);
        DURABILITIES.put("os", Durability.OS);
    }

    private JournalPlaceReader() {}

    static JournalPlace read(@Nullable Entry section, Scalars scalars) {
        if (section == null) {
            return new JournalPlace(null, Keeping.DEFAULT);
        }
        Fields fields = Fields.of(section.place(), "journal", section.value(), KEYS, scalars);
        Node folder = fields.get("folder");
        Durability durability = fields.word("durability", DURABILITIES, Keeping.DEFAULT.durability());
        long file = size(fields, "file-size", Keeping.DEFAULT.fileBytes(), scalars);
        long budget = size(fields, "budget", Math.max(Keeping.DEFAULT.budgetBytes(), FILES * file), scalars);
        if (budget < FILES * file) {
            scalars.faults()
                    .add(
                            fields.placeOf(fields.has("budget") ? "budget" : "file-size"),
                            "the budget has room for less than four files; expected one of at least "
                                    + FILES * file / MEGA + " MB, or a smaller file-size");
        }
        return new JournalPlace(
                folder == null ? null : Paths.read(folder, scalars), new Keeping(durability, file, budget));
    }

    private static long size(Fields fields, String key, long fallback, Scalars scalars) {
        Node node = fields.get(key);
        if (node == null) {
            return fallback;
        }
        Matcher matcher = SIZE.matcher(node instanceof Scalar scalar ? scalar.text() : "");
        if (!matcher.matches()) {
            scalars.expected(node, "a size such as 100 MB or 4 GB");
            return fallback;
        }
        return Long.parseLong(matcher.group(1)) * (matcher.group(2).equals("G") ? 1_000 * MEGA : MEGA);
    }
}
