package instep.config;

import instep.config.Node.Entry;
import instep.machine.StateNode;
import instep.machine.Vocabulary;

/** Reads {@code machine}. */
final class MachineReader {
    private final EventNames events;
    private final StateReader states;

    MachineReader(Scope scope, MessageReader messages, Vocabulary vocabulary) {
        this.events = new EventNames(vocabulary, scope);
        CondReader conds = new CondReader(scope);
        ActionReader actions = new ActionReader(scope, messages);
        this.states = new StateReader(scope, new TransitionReader(scope, events, conds, actions), actions);
    }

    /** The machine as the state that holds all others. */
    StateNode read(Entry section) {
        StateNode root = states.root(section);
        states.reportOutside();
        events.reportMissing();
        return root;
    }
}
