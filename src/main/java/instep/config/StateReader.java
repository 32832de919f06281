package instep.config;

import instep.config.Node.Entry;
import instep.config.Node.Scalar;
import instep.machine.Cond;
import instep.machine.Place;
import instep.machine.StateNode;
import instep.machine.StateNode.Kind;
import instep.machine.TransitionNode;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import org.jspecify.annotations.Nullable;

/** Reads states, each with those inside it. */
final class StateReader {
    /** The name of the whole. */
    static final String ROOT = "machine";

    static final List<String> ROOT_KEYS = List.of("initial", "states");
    static final List<String> KEYS = List.of(
            "initial",
            "states",
            "on",
            "eventless",
            "angle",
            "rolling",
            "onentry",
            "onexit",
            "parallel",
            "history",
            "final",
            "target");
    private static final List<String> OF_HISTORY = List.of("history", "target");
    private static final List<String> OF_FINAL = List.of("final", "onentry", "onexit");
    static final Map<String, Kind> HISTORIES = new LinkedHashMap<>();

    static {
        HISTORIES.put("shallow", Kind.SHALLOW_HISTORY);
        HISTORIES.put("deep", Kind.DEEP_HISTORY);
    }

    private final Scope scope;
    private final Scalars scalars;
    private final TransitionReader transitions;
    private final ActionReader actions;
    private final Map<Place, String> outside = new LinkedHashMap<>();

    StateReader(Scope scope, TransitionReader transitions, ActionReader actions) {
        this.scope = scope;
        this.scalars = scope.scalars();
        this.transitions = transitions;
        this.actions = actions;
    }

    /** The whole machine as a state that holds the others. */
    StateNode root(Entry section) {
        Fields fields = Fields.of(section.place(), "machine", section.value(), ROOT_KEYS, scalars);
        Node states = fields.require("states", "expected a name for each state");
        if (states == null) {
            scope.states().leaveOpen();
            scope.doubts().ofStates(true);
        }
        List<StateNode> children = children(states);
        String initial = initial(fields, children);
        return new StateNode(
                section.place(), ROOT, Kind.STATE, initial, null, false, List.of(), List.of(), List.of(), children);
    }

    private List<StateNode> children(@Nullable Node section) {
        List<StateNode> children = new ArrayList<>();
        if (section != null) {
            List<Entry> entries = Fields.named("state", section, scalars);
            if (entries.isEmpty()) {
                scope.states().leaveOpen();
                scope.doubts().ofStates(true);
            }
            if (entries.isEmpty() && section instanceof Node.Mapping) {
                scalars.faults().add(section.place(), "there is no state in here; expected a name for each");
            }
            entries.forEach(e -> children.add(state(e)));
        }
        return children;
    }

    private StateNode state(Entry entry) {
        declare(entry);
        String what = "state " + Words.quote(entry.name());
        boolean isEmpty = entry.value() instanceof Scalar scalar && scalar.isNull();
        Node body = isEmpty ? new Node.Mapping(entry.place(), List.of(), false) : entry.value();
        Fields fields = Fields.of(entry.place(), what, body, KEYS, scalars);
        int before = scalars.faults().count();
        Kind kind = kind(fields);
        scope.doubts().ofStates(fields.isBroken() || scalars.faults().count() > before);
        List<StateNode> children = children(fields.get("states"));
        if (kind == Kind.SHALLOW_HISTORY || kind == Kind.DEEP_HISTORY) {
            fields.require("target", "expected the state to enter while there is nothing to remember");
        }
        if (kind == Kind.PARALLEL) {
            fields.require("states", "expected the states that are active at once");
            fields.refuse("initial", "all states in a parallel one are entered");
        } else if (kind == Kind.STATE && !fields.has("states")) {
            fields.refuse("initial", "there are no states inside");
        }
        List<TransitionNode> leaving = new ArrayList<>(transitions.on(fields.get("on")));
        leaving.addAll(transitions.eventless(fields.get("eventless")));
        historyDefault(fields, kind).ifPresent(leaving::add);
        return new StateNode(
                entry.place(),
                entry.name(),
                kind,
                kind == Kind.STATE && fields.has("states") ? initial(fields, children) : null,
                transitions.angle(fields),
                fields.flag("rolling", false),
                actions.block("onentry", fields.get("onentry")),
                actions.block("onexit", fields.get("onexit")),
                leaving,
                children);
    }

    private void declare(Entry entry) {
        if (entry.name().equals(ROOT)) {
            scalars.faults()
                    .add(entry.place(), Words.quote(ROOT) + " is the name of the whole; expected another for a state");
        }
        scope.states()
                .declare(entry.name(), entry.place())
                .ifPresent(before -> scalars.faults()
                        .add(
                                entry.place(),
                                "the state " + Words.quote(entry.name()) + " is already given "
                                        + Words.at(before, entry.place()) + "; expected another name for each"));
    }

    private Kind kind(Fields fields) {
        boolean isFinal = fields.flag("final", false);
        boolean isParallel = fields.flag("parallel", false);
        if (fields.has("history")) {
            only(fields, OF_HISTORY, "a history state only remembers");
            return fields.word("history", HISTORIES, Kind.SHALLOW_HISTORY);
        }
        fields.refuse("target", "only a history state has one of its own; expected it below on");
        if (isFinal) {
            only(fields, OF_FINAL, "a final state is never left");
            return Kind.FINAL;
        }
        return isParallel ? Kind.PARALLEL : Kind.STATE;
    }

    private static void only(Fields fields, List<String> allowed, String why) {
        fields.keys().stream().filter(k -> !allowed.contains(k)).forEach(k -> fields.refuse(k, why));
    }

    /** Where a history state leads while it remembers nothing (SCXML 1.0, section 3.10.2). */
    private Optional<TransitionNode> historyDefault(Fields fields, Kind kind) {
        Node target = kind == Kind.SHALLOW_HISTORY || kind == Kind.DEEP_HISTORY ? fields.get("target") : null;
        if (target == null) {
            return Optional.empty();
        }
        Place place = fields.placeOf("target");
        return Optional.of(new TransitionNode(
                place, List.of(), transitions.targets(target), false, null, List.of(), -1, -1, Cond.ALWAYS, List.of()));
    }

    private @Nullable String initial(Fields fields, List<StateNode> children) {
        Node node = fields.get("initial");
        if (node == null) {
            return null;
        }
        String name = scalars.text(node, "the name of a state", "");
        if (name.isEmpty()) {
            return null;
        }
        boolean isInside = children.stream().anyMatch(c -> holds(c, name));
        if (!isInside) {
            scope.states().refer(name, node.place());
            outside.put(node.place(), name);
        }
        return name;
    }

    private static boolean holds(StateNode state, String name) {
        return state.name().equals(name) || state.children().stream().anyMatch(c -> holds(c, name));
    }

    /** Says which initial states are elsewhere than in the state that begins with them. */
    void reportOutside() {
        outside.forEach((place, name) -> {
            if (scope.states().has(name)) {
                scalars.faults()
                        .add(
                                place,
                                "the initial state " + Words.quote(name)
                                        + " is not inside this state; expected one that is");
            }
        });
    }
}
