package instep.config;

import instep.machine.Action;
import instep.machine.StateNode;
import instep.machine.Variable;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;

/** The values of a machine: those that are declared, then those that it sets, each of the kind that it is first set to: 0, false or an empty text before that. */
final class Declarations {
    private Declarations() {}

    /** Those that are declared, those of the machine, and those that replies set, with what these are before that. */
    static List<Variable> of(List<Variable> declared, StateNode root, Map<String, Object> replies) {
        Map<String, Variable> found = new LinkedHashMap<>();
        declared.forEach(variable -> found.put(variable.name(), variable));
        for (Action action : actions(root)) {
            if (action instanceof Action.Set set) {
                found.computeIfAbsent(set.name(), name -> Variable.of(name, before(set.to())));
            }
        }
        replies.forEach((name, before) -> found.putIfAbsent(name, Variable.of(name, before)));
        return List.copyOf(found.values());
    }

    private static List<Action> actions(StateNode state) {
        List<Action> all = new ArrayList<>(state.onEntry());
        all.addAll(state.onExit());
        state.transitions().forEach(transition -> all.addAll(transition.actions()));
        state.children().forEach(child -> all.addAll(actions(child)));
        return all;
    }

    private static Object before(Action.Assignment assignment) {
        if (assignment instanceof Action.Assignment.Add) {
            return 0L;
        } else if (assignment instanceof Action.Assignment.Constant constant) {
            return constant.value() instanceof Long ? 0L : constant.value() instanceof Boolean ? false : "";
        }
        return "";
    }
}
