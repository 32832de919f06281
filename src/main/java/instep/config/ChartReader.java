package instep.config;

import instep.gear.Message;
import instep.machine.Chart;
import instep.machine.InvalidChartException;
import instep.machine.InvalidChartException.Fault;
import instep.machine.StateNode;
import instep.machine.Variable;
import instep.machine.Vocabulary;
import java.util.List;
import java.util.Optional;

/** Makes the chart of what was read. Where that has faults, it looks for those that only the whole shows as well, short of what may follow from the former. */
final class ChartReader {
    private final Scope scope;
    private final Vocabulary vocabulary;
    private final List<String> messages;

    ChartReader(Scope scope, Vocabulary vocabulary, List<Message> messages) {
        this.scope = scope;
        this.vocabulary = vocabulary;
        this.messages = messages.stream().map(Message::name).toList();
    }

    /** The chart; empty, with all faults noted, if there is one anywhere. */
    Optional<Chart> read(StateNode states, List<Variable> variables) {
        List<String> angles = scope.angles().all();
        if (!scope.faults().isEmpty()) {
            Chart.faults(states, vocabulary, angles, messages, variables).stream()
                    .filter(this::isCertain)
                    .forEach(this::add);
            return Optional.empty();
        }
        try {
            return Optional.of(Chart.of(states, vocabulary, angles, messages, variables));
        } catch (InvalidChartException e) {
            e.faults().forEach(this::add);
            return Optional.empty();
        }
    }

    /** What stands on a line with a fault, or rests on something that could not be read, may be sound. Missing names have been said. */
    private boolean isCertain(Fault fault) {
        boolean isReadable = switch (fault.concern()) {
            case NAMES -> false;
            case STATES -> !scope.doubts().states();
            case VALUES -> !scope.doubts().values();
        };
        return isReadable && !scope.faults().isOn(fault.place());
    }

    private void add(Fault fault) {
        scope.faults().add(fault.place(), fault.text());
    }
}
