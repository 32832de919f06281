package instep.config;

import instep.config.Node.Entry;
import instep.config.Node.Mapping;
import instep.machine.Place;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.regex.Pattern;
import org.jspecify.annotations.Nullable;

/** A map whose keys are known. A misspelt key is a fault, and is then taken for the key that was meant, so that it is the only one. */
final class Fields {
    private static final Pattern NAME = Pattern.compile("[\\p{L}\\p{N}_][\\p{L}\\p{N}_-]*");

    private final Place place;
    private final String what;
    private final Scalars scalars;
    private final Map<String, Entry> byKey = new LinkedHashMap<>();
    private boolean broken;

    private Fields(Place place, String what, Scalars scalars) {
        this.place = place;
        this.what = what;
        this.scalars = scalars;
    }

    /**
     * Reads a map.
     *
     * @param place where the thing is named, for faults about what it lacks
     * @param what the thing, for a person
     */
    static Fields of(Place place, String what, Node node, List<String> keys, Scalars scalars) {
        Fields fields = new Fields(place, what, scalars);
        if (node instanceof Mapping mapping) {
            mapping.entries().forEach(e -> fields.take(e, keys));
        } else {
            fields.broken = true;
            scalars.expected(node, "a map with " + Words.either(keys) + " for " + what);
        }
        return fields;
    }

    /** The entries of a map whose keys are names that its writer chose; anything that is no such name is a fault. */
    static List<Entry> named(String what, Node node, Scalars scalars) {
        if (!(node instanceof Mapping mapping)) {
            scalars.expected(node, "a map with a name for each " + what);
            return List.of();
        }
        mapping.entries().forEach(e -> checkName(what, e.name(), e.place(), scalars));
        return mapping.entries();
    }

    /** Notes a name that its writer chose but that no event or template could hold. */
    static void checkName(String what, String name, Place place, Scalars scalars) {
        if (!NAME.matcher(name).matches()) {
            scalars.faults()
                    .add(
                            place,
                            Words.quote(name) + " cannot be the name of " + Words.one(what)
                                    + "; expected letters, digits, - and _");
        }
    }

    private void take(Entry entry, List<String> keys) {
        if (keys.contains(entry.name())) {
            byKey.put(entry.name(), entry);
            return;
        }
        Faults faults = scalars.faults();
        Optional<String> meant = faults.mayGuess() ? Words.nearest(entry.name(), keys) : Optional.empty();
        String also = entry.name().equals("<<") ? "; maps cannot be merged here" : "";
        faults.add(
                entry.place(),
                "unknown key " + Words.quote(entry.name()) + " in " + what + also + "; expected " + Words.either(keys)
                        + meant.map(m -> "; did you mean " + Words.quote(m) + "?")
                                .orElse(""));
        if (meant.isPresent()) {
            byKey.putIfAbsent(meant.get(), entry);
        } else {
            broken = true;
        }
    }

    Place place() {
        return place;
    }

    /** Whether it could not be read as it stands, which has been said. */
    boolean isBroken() {
        return broken;
    }

    /** The known keys that were given, in the order of the file. */
    List<String> keys() {
        return List.copyOf(byKey.keySet());
    }

    boolean has(String key) {
        return byKey.containsKey(key);
    }

    /** A known key that was given, with its value. */
    @Nullable Entry entry(String key) {
        return byKey.get(key);
    }

    @Nullable Node get(String key) {
        Entry entry = byKey.get(key);
        return entry == null ? null : entry.value();
    }

    /** The place of a key that was given, else of the whole. */
    Place placeOf(String key) {
        Entry entry = byKey.get(key);
        return entry == null ? place : entry.place();
    }

    /** The value of a key that must be given; its lack is a fault unless the map is broken anyway. */
    @Nullable Node require(String key, String why) {
        if (!has(key) && !broken) {
            scalars.faults().add(place, what + " has no " + key + "; " + why);
        }
        return get(key);
    }

    /** A key that makes no sense beside what else was given. */
    void refuse(String key, String why) {
        if (has(key)) {
            scalars.faults().add(placeOf(key), key + " cannot stand here; " + why);
        }
    }

    String text(String key, String form, String fallback) {
        Node node = get(key);
        return node == null ? fallback : scalars.text(node, form, fallback);
    }

    boolean flag(String key, boolean fallback) {
        Node node = get(key);
        return node == null ? fallback : scalars.flag(node, fallback);
    }

    long nanos(String key, long fallback) {
        Node node = get(key);
        return node == null ? fallback : scalars.nanos(node, fallback);
    }

    int integer(String key, int min, int max, int fallback) {
        Node node = get(key);
        return node == null ? fallback : (int) scalars.integer(node, min, max, fallback);
    }

    <E> E word(String key, Map<String, E> words, E fallback) {
        Node node = get(key);
        return node == null ? fallback : scalars.word(node, words, fallback);
    }
}
