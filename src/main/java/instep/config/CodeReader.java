package instep.config;

import java.util.Collection;
import java.util.Locale;
import java.util.OptionalInt;
import org.jspecify.annotations.Nullable;

/** Reads names that the kernel gives to codes of one kind. */
final class CodeReader {
    private final Scalars scalars;
    private final String kind;
    private final String what;
    private final String prefix;
    private final int last;

    /**
     * A reader.
     *
     * @param kind the word for such a code
     * @param examples of names
     * @param prefix that all the names begin with, or most
     * @param last the greatest code
     */
    CodeReader(Scalars scalars, String kind, String examples, String prefix, int last) {
        this.scalars = scalars;
        this.kind = kind;
        this.what = Words.one(kind) + ", such as " + examples;
        this.prefix = prefix;
        this.last = last;
    }

    /** The code that a name or its own number stands for; empty after a fault. */
    OptionalInt read(@Nullable Node node, KeyCodes known, Collection<String> all) {
        String name = node == null ? "" : scalars.text(node, "the kernel's name of " + what, "");
        if (node == null || name.isEmpty()) {
            return OptionalInt.empty();
        }
        if (name.matches("0|[1-9][0-9]{0,2}") && Integer.parseInt(name) <= last) {
            return OptionalInt.of(Integer.parseInt(name));
        }
        OptionalInt code = known.code(name);
        if (code.isEmpty()) {
            scalars.faults()
                    .add(node.place(), "unknown " + kind + " name " + Words.quote(name) + hint(name, known, all));
        }
        return code;
    }

    private String hint(String name, KeyCodes known, Collection<String> all) {
        String full = prefix + name.toUpperCase(Locale.ROOT);
        if (known.code(full).isPresent()) {
            return "; did you mean \"" + full + "\"?";
        }
        String near = scalars.faults().mayGuess()
                ? Words.nearest(name, all)
                        .map(n -> "; did you mean \"" + n + "\"?")
                        .orElse("")
                : "";
        return near.isEmpty() ? "; expected the kernel's name of " + what : near;
    }
}
