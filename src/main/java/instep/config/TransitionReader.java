package instep.config;

import instep.config.Node.Entry;
import instep.config.Node.Mapping;
import instep.config.Node.Scalar;
import instep.config.Node.Sequence;
import instep.machine.Cond;
import instep.machine.Place;
import instep.machine.TransitionNode;
import java.util.ArrayList;
import java.util.List;
import java.util.regex.Pattern;
import org.jspecify.annotations.Nullable;

/** Reads transitions: those of {@code on}, by event, and those of {@code eventless}. */
final class TransitionReader {
    static final List<String> KEYS =
            List.of("target", "angle", "until", "cond", "after", "send", "mark", "text", "set", "raise", "internal");

    private static final Pattern DURATION = Pattern.compile("\\d+(\\.\\d+)? ?[A-Za-z]*");

    private final Scope scope;
    private final Scalars scalars;
    private final EventNames events;
    private final CondReader conds;
    private final ActionReader actions;

    TransitionReader(Scope scope, EventNames events, CondReader conds, ActionReader actions) {
        this.scope = scope;
        this.scalars = scope.scalars();
        this.events = events;
        this.conds = conds;
        this.actions = actions;
    }

    List<TransitionNode> on(@Nullable Node section) {
        List<TransitionNode> transitions = new ArrayList<>();
        if (section instanceof Mapping mapping && !mapping.bare()) {
            for (Entry entry : mapping.entries()) {
                List<String> event = events.canonical(entry.key()).stream().toList();
                tried(entry.place(), event, entry.value(), transitions);
            }
        } else if (section != null) {
            scalars.expected(section, "a map with what happens at each event, such as { left.press: rolling }");
        }
        return transitions;
    }

    List<TransitionNode> eventless(@Nullable Node section) {
        List<TransitionNode> transitions = new ArrayList<>();
        if (section != null) {
            tried(section.place(), List.of(), section, transitions);
        }
        for (TransitionNode t : transitions) {
            if (t.targets().isEmpty() && t.afterNanos() < 0 && t.cond().equals(Cond.ALWAYS)) {
                scope.faults().add(t.place(), "this would be taken again and again; expected a target, cond or after");
            }
        }
        return transitions;
    }

    private void tried(Place place, List<String> event, Node node, List<TransitionNode> transitions) {
        if (node instanceof Sequence sequence && !sequence.items().isEmpty()) {
            for (Node item : sequence.items()) {
                transitions.add(one(item.place(), event, item));
            }
        } else {
            transitions.add(one(place, event, node));
        }
    }

    private TransitionNode one(Place place, List<String> event, Node node) {
        if (node instanceof Scalar scalar && !scalar.isNull()) {
            return new TransitionNode(
                    place, event, targets(node), false, null, List.of(), -1, -1, Cond.ALWAYS, List.of());
        }
        if (!(node instanceof Mapping mapping) || mapping.bare()) {
            scalars.expected(node, "the name of a state, or a map such as { angle: wheel, until: left.release }");
        }
        Node readable =
                node instanceof Mapping mapping && !mapping.bare() ? node : new Mapping(place, List.of(), false);
        Fields fields = Fields.of(place, "this transition", readable, KEYS, scalars);
        Until until = new Until();
        Node end = fields.get("until");
        if (end != null) {
            until.read(end);
            if (!fields.has("angle") && !fields.has("target") && !fields.isBroken()) {
                fields.refuse("until", "there is nothing to return from; expected angle or target beside it");
            }
        }
        Node target = fields.get("target");
        return new TransitionNode(
                place,
                event,
                target == null ? List.of() : targets(target),
                fields.flag("internal", false),
                angle(fields),
                until.events,
                until.nanos,
                fields.nanos("after", -1),
                conds.read(fields.get("cond")),
                actions.among(fields));
    }

    /** The states that are named, one or a list. */
    List<String> targets(Node node) {
        if (node instanceof Sequence sequence && !sequence.items().isEmpty()) {
            return sequence.items().stream().flatMap(i -> target(i).stream()).toList();
        }
        return target(node);
    }

    private List<String> target(Node node) {
        String name = scalars.text(node, "the name of a state", "");
        if (name.isEmpty()) {
            return List.of();
        }
        scope.states().refer(name, node.place());
        return List.of(name);
    }

    /** The angle that some fields name, or null. */
    @Nullable String angle(Fields fields) {
        Node node = fields.get("angle");
        if (node == null) {
            return null;
        }
        String name = scalars.text(node, "the name of an angle", "");
        if (!name.isEmpty()) {
            scope.angles().refer(name, node.place());
        }
        return name;
    }

    /** What ends a detour: events, a time, or both. */
    private final class Until {
        private final List<String> events = new ArrayList<>();
        private long nanos = -1;

        void read(Node node) {
            if (node instanceof Sequence sequence && !sequence.items().isEmpty()) {
                sequence.items().forEach(this::one);
            } else {
                one(node);
            }
        }

        private void one(Node node) {
            if (!(node instanceof Scalar scalar) || scalar.isNull()) {
                scalars.expected(node, "an event such as left.release, or a time such as 3s");
            } else if (!DURATION.matcher(scalar.text()).matches()) {
                events.addAll(
                        TransitionReader.this.events.canonical(scalar).stream().toList());
            } else if (nanos >= 0) {
                scalars.expected(node, "only one time");
            } else {
                nanos = scalars.nanos(node, 0);
            }
        }
    }
}
