package instep.config;

import instep.config.Node.Entry;
import instep.config.Node.Mapping;
import instep.config.Node.Scalar;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;

/**
 * Lays one configuration over another, key by key: maps are merged, anything else takes the place of what was there, and nothing takes it away.
 * That is RFC 7396, section 2, but for a key without a value where there was none, which stays as it is written.
 */
final class Overlay {
    private final List<Overridden> overridden = new ArrayList<>();

    /** The two as one. The lower one's keys keep their order, new ones follow. */
    Mapping lay(Mapping over, Mapping base) {
        return merge("", base, over);
    }

    /** All that was overridden so far. */
    List<Overridden> overridden() {
        return List.copyOf(overridden);
    }

    private Mapping merge(String path, Mapping base, Mapping over) {
        Map<String, Entry> merged = new LinkedHashMap<>();
        base.entries().forEach(entry -> merged.put(entry.name(), entry));
        for (Entry entry : over.entries()) {
            merge(path.isEmpty() ? entry.name() : path + " > " + entry.name(), entry, merged);
        }
        return new Mapping(base.place(), List.copyOf(merged.values()), false);
    }

    private void merge(String path, Entry over, Map<String, Entry> merged) {
        Entry base = merged.get(over.name());
        if (base == null) {
            merged.put(over.name(), over);
            overridden.add(new Overridden(path, over.place(), shown(over.value()), null, ""));
        } else if (isMap(base.value()) && isMap(over.value())) {
            Mapping both = merge(path, (Mapping) base.value(), (Mapping) over.value());
            merged.put(over.name(), new Entry(base.key(), both));
        } else if (!isNothing(over.value())) {
            merged.put(over.name(), over);
            overridden.add(new Overridden(path, over.place(), shown(over.value()), base.place(), shown(base.value())));
        } else if (!isNothing(base.value())) {
            merged.remove(over.name());
            overridden.add(new Overridden(path, over.place(), "", base.place(), shown(base.value())));
        }
    }

    private static boolean isMap(Node node) {
        return node instanceof Mapping mapping && !mapping.bare();
    }

    private static boolean isNothing(Node node) {
        return node instanceof Scalar scalar && scalar.isNull();
    }

    private static String shown(Node node) {
        return node instanceof Scalar scalar && !scalar.isNull() ? Words.quote(scalar.text()) : node.found();
    }
}
