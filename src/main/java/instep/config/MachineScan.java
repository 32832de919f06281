package instep.config;

import instep.config.Node.Entry;
import instep.config.Node.Mapping;
import instep.config.Node.Scalar;
import instep.config.Node.Sequence;
import instep.machine.Vocabulary;
import java.util.LinkedHashSet;
import java.util.Set;

/**
 * What a machine itself brings into being, wherever in it that is written: one look ahead, since an event may be named before the place
 * where it is raised.
 *
 * @param events events that it raises, and those that tell of a state that is done (SCXML 1.0, section 3.7)
 * @param variables names of values that it sets
 */
record MachineScan(Set<String> events, Set<String> variables) {
    static MachineScan of(Node machine) {
        MachineScan scan = new MachineScan(new LinkedHashSet<>(), new LinkedHashSet<>());
        scan.visit("machine", machine);
        return scan;
    }

    private void visit(String owner, Node node) {
        if (node instanceof Sequence sequence) {
            sequence.items().forEach(item -> visit(owner, item));
        } else if (node instanceof Mapping mapping) {
            for (Entry entry : mapping.entries()) {
                visit(owner, entry);
            }
        }
    }

    private void visit(String owner, Entry entry) {
        Node value = entry.value();
        switch (entry.name()) {
            case "raise" -> raised(value);
            case "set" -> {
                if (value instanceof Mapping variablesSet) {
                    variablesSet.entries().forEach(e -> variables.add(e.name()));
                }
            }
            case "states" -> {
                if (value instanceof Mapping states) {
                    states.entries().forEach(state -> state(owner, state));
                }
            }
            default -> visit(owner, value);
        }
    }

    private void state(String owner, Entry state) {
        if (isTrue(state.value(), "final")) {
            events.add(Vocabulary.DONE + owner);
        }
        if (isTrue(state.value(), "parallel")) {
            events.add(Vocabulary.DONE + state.name());
        }
        visit(state.name(), state.value());
    }

    private void raised(Node node) {
        if (node instanceof Scalar scalar) {
            events.add(scalar.text());
        } else if (node instanceof Sequence sequence) {
            sequence.items().forEach(this::raised);
        }
    }

    private static boolean isTrue(Node node, String key) {
        return node instanceof Mapping mapping
                && mapping.entries().stream()
                        .anyMatch(e -> e.name().equals(key)
                                && e.value() instanceof Scalar scalar
                                && Scalars.flag(scalar).orElse(false));
    }
}
