package instep.gear;

import instep.machine.Values;
import java.util.HashMap;
import java.util.LinkedHashSet;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import org.jspecify.annotations.Nullable;

/** What a reply has to look like, and the values that it then holds. Immutable. */
public sealed interface Match {
    /** The name of the value that a pointer finds. */
    String VALUE = "value";

    /** The values, by name; empty if the reply does not look like it. Throws {@link TooLongException} rather than take long. */
    Optional<Values> in(Reply reply);

    /** The names of the values. */
    Set<String> names();

    /** A regular expression for text: it has to be found somewhere in it. */
    record Line(Pattern regex) implements Match {
        private static final Pattern GROUP = Pattern.compile("(?<!\\\\)\\(\\?<([A-Za-z][A-Za-z0-9]*)>");

        /** A text that is longer is matched by no expression. */
        public static final int LONGEST = 1_024;

        @Override
        public Optional<Values> in(Reply reply) {
            if (reply.text().length() > LONGEST) {
                return Optional.empty();
            }
            Matcher matcher = regex.matcher(new Counted(reply.text(), new Counted.Budget(regex.pattern())));
            return matcher.find() ? Optional.of(values(matcher)) : Optional.empty();
        }

        private Values values(Matcher matcher) {
            Map<String, String> groups = new HashMap<>();
            for (String name : names()) {
                String group = matcher.group(name);
                if (group != null) {
                    groups.put(name, group);
                }
            }
            return groups::get;
        }

        @Override
        public Set<String> names() {
            Set<String> names = new LinkedHashSet<>();
            Matcher group = GROUP.matcher(regex.pattern());
            while (group.find()) {
                names.add(group.group(1));
            }
            return names;
        }
    }

    /**
     * A value in a JSON text, which is its {@value #VALUE}.
     *
     * @param wanted what the value has to be; null: it only has to be there
     */
    record Pointer(JsonPointer pointer, @Nullable String wanted) implements Match {
        @Override
        public Optional<Values> in(Reply reply) {
            Optional<String> value = reply.json().flatMap(pointer::in);
            return value.filter(v -> wanted == null || JsonPointer.areEqual(v, wanted))
                    .map(v -> name -> name.equals(VALUE) ? v : null);
        }

        @Override
        public Set<String> names() {
            return Set.of(VALUE);
        }
    }

    /** An OSC message to that address, whatever its arguments. */
    record Address(String address) implements Match {
        @Override
        public Optional<Values> in(Reply reply) {
            String text = reply.text();
            boolean fits = text.equals(address) || text.startsWith(address + " ");
            return fits ? Optional.of(name -> null) : Optional.empty();
        }

        @Override
        public Set<String> names() {
            return Set.of();
        }
    }

    /** A regular expression went back and forth over a reply for so long that it was given up: the expression should be a simpler one. */
    final class TooLongException extends RuntimeException {
        private static final long serialVersionUID = 1L;

        TooLongException(String regex) {
            super("the pattern " + regex + " takes too long: write a simpler one");
        }
    }

    /** A text that lets itself be read only so often: an expression may go back and forth over it for longer than anybody lives. */
    final class Counted implements CharSequence {
        /** How often characters may be read; some ten times what a sound expression needs for the longest text. */
        static final int MOST_READS = 100_000;

        private final CharSequence text;
        private final Budget budget;

        Counted(CharSequence text, Budget budget) {
            this.text = text;
            this.budget = budget;
        }

        /** Shared by a text and the parts of it. */
        static final class Budget {
            private final String regex;
            private int reads;

            Budget(String regex) {
                this.regex = regex;
            }
        }

        @Override
        public char charAt(int index) {
            if (++budget.reads > MOST_READS) {
                throw new TooLongException(budget.regex);
            }
            return text.charAt(index);
        }

        @Override
        public int length() {
            return text.length();
        }

        @Override
        public CharSequence subSequence(int start, int end) {
            return new Counted(text.subSequence(start, end), budget);
        }

        @Override
        public String toString() {
            return text.toString();
        }
    }
}
