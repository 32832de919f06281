package instep.config;

import instep.config.Node.Entry;
import instep.config.Node.Mapping;
import instep.machine.Variable;
import java.util.ArrayList;
import java.util.List;
import org.jspecify.annotations.Nullable;

/** Reads {@code data}: the values that a mapping keeps for itself, what they are at the start, and their bounds. */
final class DataReader {
    static final List<String> KEYS = List.of("initial", "min", "max");

    private final Scope scope;
    private final Scalars scalars;

    DataReader(Scope scope) {
        this.scope = scope;
        this.scalars = scope.scalars();
    }

    List<Variable> read(@Nullable Node section) {
        List<Variable> variables = new ArrayList<>();
        int before = scope.faults().count();
        if (section != null) {
            List<Entry> entries = Fields.named("value", section, scalars);
            if (!(section instanceof Mapping)) {
                scalars.values().leaveOpen();
            }
            for (Entry entry : entries) {
                if (scope.isFree(entry)) {
                    scalars.values().declare(entry.name(), entry.place());
                    variables.add(variable(entry));
                }
            }
        }
        scope.doubts().ofValues(scope.faults().count() > before);
        return variables;
    }

    private Variable variable(Entry entry) {
        if (!(entry.value() instanceof Mapping mapping) || mapping.bare()) {
            return Variable.of(entry.name(), Constants.read(entry.value(), scalars));
        }
        Fields fields = Fields.of(entry.place(), "value " + Words.quote(entry.name()), mapping, KEYS, scalars);
        Node initial = fields.require("initial", "expected what it is at the start, such as initial: 0");
        Object start = initial == null ? 0L : Constants.read(initial, scalars);
        if (!(start instanceof Long number)) {
            String why = Words.quote(entry.name()) + " is " + (start instanceof Boolean ? "true or false" : "text")
                    + ", and only a whole number has bounds";
            fields.refuse("min", why);
            fields.refuse("max", why);
            return Variable.of(entry.name(), start);
        }
        return bounded(entry.name(), number, initial, fields);
    }

    private Variable bounded(String name, long start, @Nullable Node initial, Fields fields) {
        long min = bound(fields, "min", Long.MIN_VALUE);
        long max = bound(fields, "max", Long.MAX_VALUE);
        if (min > max) {
            scope.faults()
                    .add(
                            fields.placeOf("max"),
                            "the max of " + Words.quote(name) + ", " + max + ", is below its min, " + min
                                    + "; expected a max that is larger");
            return Variable.of(name, start);
        }
        if (initial != null && (start < min || start > max)) {
            scope.faults()
                    .add(
                            initial.place(),
                            Words.quote(name) + " begins at " + start + ", outside of its bounds; expected a number"
                                    + range(fields, min, max));
            return Variable.of(name, start);
        }
        return new Variable(name, Math.max(min, Math.min(max, start)), min, max);
    }

    private long bound(Fields fields, String key, long none) {
        Node node = fields.get(key);
        return node == null ? none : scalars.integer(node, Long.MIN_VALUE, Long.MAX_VALUE, none);
    }

    private static String range(Fields fields, long min, long max) {
        if (fields.has("min") && fields.has("max")) {
            return " from " + min + " to " + max;
        }
        return fields.has("min") ? " of at least " + min : " of at most " + max;
    }
}
