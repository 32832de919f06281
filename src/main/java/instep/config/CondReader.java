package instep.config;

import instep.config.Node.Entry;
import instep.config.Node.Mapping;
import instep.config.Node.Sequence;
import instep.machine.Cond;
import java.util.ArrayList;
import java.util.List;
import java.util.Set;
import org.jspecify.annotations.Nullable;

/** Reads {@code cond}: a map of which every line must hold. */
final class CondReader {
    static final List<String> BOUNDS = List.of("above", "below");
    private static final Set<Object> LINK_STATES = Set.of("up", "down");

    private final Scope scope;
    private final Scalars scalars;

    CondReader(Scope scope) {
        this.scope = scope;
        this.scalars = scope.scalars();
    }

    Cond read(@Nullable Node node) {
        if (node == null) {
            return Cond.ALWAYS;
        }
        if (!(node instanceof Mapping mapping)
                || mapping.bare()
                || mapping.entries().isEmpty()) {
            scalars.expected(node, "conditions such as { in: rolling, mixer: up, take: { above: 3 } }");
            return Cond.ALWAYS;
        }
        return all(mapping.entries().stream().map(this::one).toList());
    }

    private static Cond all(List<Cond> conds) {
        return conds.size() == 1 ? conds.get(0) : new Cond.All(conds);
    }

    private Cond one(Entry entry) {
        return switch (entry.name()) {
            case "in" -> in(entry.value());
            case "not" -> new Cond.Not(read(entry.value()));
            case "any" -> new Cond.Any(list(entry.value()));
            case "all" -> new Cond.All(list(entry.value()));
            default -> value(entry);
        };
    }

    private List<Cond> list(Node node) {
        if (node instanceof Sequence sequence && !sequence.items().isEmpty()) {
            return sequence.items().stream().map(this::read).toList();
        }
        scalars.expected(node, "a list of conditions");
        return List.of();
    }

    private Cond in(Node node) {
        if (node instanceof Sequence sequence && !sequence.items().isEmpty()) {
            return new Cond.Any(sequence.items().stream().map(this::in).toList());
        }
        String state = scalars.text(node, "the name of a state", "");
        if (!state.isEmpty()) {
            scope.states().refer(state, node.place());
        }
        return new Cond.In(state);
    }

    private Cond value(Entry entry) {
        String name = entry.name();
        if (!scalars.values().has(name) && Words.nearest(name, Scope.CONDITIONS).isPresent()) {
            String hint = Words.hint(name, Scope.CONDITIONS, scalars.faults());
            scalars.faults().add(entry.place(), "unknown condition " + Words.quote(name) + hint);
            return Cond.ALWAYS;
        }
        scalars.values().refer(name, entry.place());
        if (entry.value() instanceof Mapping mapping && !mapping.bare()) {
            return bounds(name, entry);
        }
        Object constant = Constants.read(entry.value(), scalars);
        if (scope.gear().all().contains(name) && !LINK_STATES.contains(constant)) {
            scalars.expected(entry.value(), "up or down, since " + name + " is gear");
        }
        return new Cond.Equals(name, constant);
    }

    private Cond bounds(String name, Entry entry) {
        Fields fields = Fields.of(entry.place(), "the bounds of " + name, entry.value(), BOUNDS, scalars);
        List<Cond> conds = new ArrayList<>();
        for (String key : fields.keys()) {
            Node node = fields.get(key);
            if (node != null) {
                long bound = scalars.integer(node, Long.MIN_VALUE, Long.MAX_VALUE, 0);
                conds.add(key.equals("above") ? new Cond.Above(name, bound) : new Cond.Below(name, bound));
            }
        }
        if (conds.isEmpty() && !fields.isBroken()) {
            scalars.expected(entry.value(), "above or below");
        }
        return all(conds);
    }
}
