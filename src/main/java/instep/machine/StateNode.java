package instep.machine;

import java.util.List;
import org.jspecify.annotations.Nullable;

/**
 * A state as written, with the states inside it in document order.
 *
 * @param place where it was written
 * @param name its name, which no other state has
 * @param initial the name of the descendant to enter by default; null: the first child
 * @param angle the angle to be on air on entry, or null
 * @param rolling whether a take is open while the machine is in here
 */
public record StateNode(
        Place place,
        String name,
        Kind kind,
        @Nullable String initial,
        @Nullable String angle,
        boolean rolling,
        List<Action> onEntry,
        List<Action> onExit,
        List<TransitionNode> transitions,
        List<StateNode> children) {
    /** What sort of state (SCXML 3.3, 3.4, 3.7, 3.10). A state with children that is not parallel has one of them active. */
    public enum Kind {
        STATE,
        PARALLEL,
        FINAL,
        SHALLOW_HISTORY,
        DEEP_HISTORY
    }

    public StateNode {
        onEntry = List.copyOf(onEntry);
        onExit = List.copyOf(onExit);
        transitions = List.copyOf(transitions);
        children = List.copyOf(children);
    }
}
