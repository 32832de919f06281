package instep.config;

import instep.machine.Place;
import java.util.List;
import java.util.regex.Pattern;

/** A piece of a configuration as it was written, with its place. Nothing here has a type yet but its shape. */
sealed interface Node {
    Place place();

    /** What it is, for a person. */
    String found();

    /**
     * A single value.
     *
     * @param plain whether it was written without quotation marks
     */
    record Scalar(Place place, String text, boolean plain) implements Node {
        private static final Pattern NULL = Pattern.compile("|~|null|Null|NULL");

        /** Whether nothing was written, or the word that stands for nothing. */
        boolean isNull() {
            return plain && NULL.matcher(text).matches();
        }

        @Override
        public String found() {
            return isNull() ? "nothing" : (plain ? "" : "the text ") + Words.quote(text);
        }
    }

    /** Values one after the other. */
    record Sequence(Place place, List<Node> items) implements Node {
        @Override
        public String found() {
            return items.isEmpty() ? "an empty list" : "a list";
        }
    }

    /**
     * Keys, each with its value.
     *
     * @param bare whether it is a lone word in braces, which YAML takes for a key without a value where a template was meant
     */
    record Mapping(Place place, List<Entry> entries, boolean bare) implements Node {
        @Override
        public String found() {
            return bare
                    ? "a map (write \"{" + entries.get(0).name() + "}\" in quotation marks if the value is meant)"
                    : entries.isEmpty() ? "an empty map" : "a map";
        }
    }

    /** A key and its value. */
    record Entry(Scalar key, Node value) {
        Place place() {
            return key.place();
        }

        String name() {
            return key.text();
        }
    }
}
