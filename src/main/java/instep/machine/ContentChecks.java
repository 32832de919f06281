package instep.machine;

import instep.machine.InvalidChartException.Concern;
import instep.machine.InvalidChartException.Fault;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import org.jspecify.annotations.Nullable;

/** Whether angles, messages, values and conditions exist and fit together. Finds every fault; actions have the place of what they stand in. */
final class ContentChecks {
    private final ChartCompiler chart;
    private final Vocabulary vocabulary;
    private final Map<String, Variable> variables = new HashMap<>();
    private final List<Fault> faults = new ArrayList<>();

    ContentChecks(ChartCompiler chart, Vocabulary vocabulary) {
        this.chart = chart;
        this.vocabulary = vocabulary;
    }

    List<Fault> faults() {
        chart.variables.forEach(this::declare);
        for (StateNode state : chart.states) {
            checkAngle(state.place(), state.angle());
            state.onEntry().forEach(action -> check(state.place(), action));
            state.onExit().forEach(action -> check(state.place(), action));
        }
        for (TransitionNode transition : chart.transitions) {
            checkAngle(transition.place(), transition.angle());
            check(transition.place(), transition.cond());
            transition.actions().forEach(action -> check(transition.place(), action));
        }
        return faults;
    }

    private void declare(Variable variable) {
        String name = variable.name();
        Place place = chart.states.get(0).place();
        if (Variable.READ_ONLY.contains(name) || vocabulary.gear().contains(name)) {
            missing(place, "the name '" + name + "' has a value already: choose another for the variable");
        } else if (variables.put(name, variable) != null) {
            missing(place, "there are two variables '" + name + "'");
        }
    }

    private void checkAngle(Place place, @Nullable String angle) {
        if (angle != null && !chart.angles.contains(angle)) {
            missing(place, "there is no angle '" + angle + "'");
        }
    }

    private void check(Place place, Action action) {
        if (action instanceof Action.Send send && !chart.messages.contains(send.message())) {
            missing(place, "there is no message '" + send.message() + "'");
        } else if (action instanceof Action.Mark mark && mark.text() != null) {
            check(place, mark.text());
        } else if (action instanceof Action.Set set) {
            check(place, set);
        }
    }

    private void check(Place place, Action.Set set) {
        String name = set.name();
        Variable variable = variables.get(name);
        if (set.to() instanceof Action.Assignment.Text text) {
            check(place, text.template());
        }
        if (Variable.READ_ONLY.contains(name) || vocabulary.gear().contains(name)) {
            missing(place, "'" + name + "' can be read but not set");
        } else if (variable == null) {
            missing(place, "there is no variable '" + name + "' to set");
        } else {
            checkFits(place, variable, set.to());
        }
    }

    private void checkFits(Place place, Variable variable, Action.Assignment to) {
        String name = "'" + variable.name() + "'";
        if (to instanceof Action.Assignment.Constant constant && !variable.takes(constant.value())) {
            fault(place, name + " cannot become " + constant.value() + ": " + kind(variable));
        } else if (to instanceof Action.Assignment.Add && !variable.isNumber()) {
            fault(place, name + " cannot be counted up or down: " + kind(variable));
        } else if (to instanceof Action.Assignment.Text && !(variable.initial() instanceof String)) {
            fault(place, name + " cannot become text: " + kind(variable));
        }
    }

    private static String kind(Variable variable) {
        if (variable.initial() instanceof Boolean) {
            return "it is true or false";
        } else if (variable.initial() instanceof String) {
            return "it is text";
        } else if (variable.min() == Long.MIN_VALUE && variable.max() == Long.MAX_VALUE) {
            return "it is a whole number";
        }
        return "it is a whole number from " + variable.min() + " to " + variable.max();
    }

    private void check(Place place, Template template) {
        template.names().stream()
                .filter(name -> !isValue(name))
                .forEach(name -> missing(place, "there is no value '" + name + "' to fill in"));
    }

    private void check(Place place, Cond cond) {
        if (cond instanceof Cond.All all) {
            all.conds().forEach(inner -> check(place, inner));
        } else if (cond instanceof Cond.Any any) {
            any.conds().forEach(inner -> check(place, inner));
        } else if (cond instanceof Cond.Not not) {
            check(place, not.cond());
        } else if (cond instanceof Cond.In in) {
            if (chart.numberOf(in.state()) < 0) {
                missing(place, "the condition asks for a state '" + in.state() + "', which there is not");
            }
        } else if (cond instanceof Cond.Equals equals) {
            checkEquals(place, equals);
        } else if (cond instanceof Cond.Above above) {
            checkNumber(place, above.name());
        } else if (cond instanceof Cond.Below below) {
            checkNumber(place, below.name());
        }
    }

    private void checkEquals(Place place, Cond.Equals equals) {
        Variable variable = variables.get(equals.name());
        if (!isValue(equals.name())) {
            noValue(place, equals.name());
        } else if (variable != null && !variable.takes(equals.constant())) {
            fault(place, "'" + equals.name() + "' is never " + equals.constant() + ": " + kind(variable));
        }
    }

    private void checkNumber(Place place, String name) {
        Variable variable = variables.get(name);
        boolean counted = name.equals("take") || name.equals("chapter") || (variable != null && variable.isNumber());
        if (!isValue(name)) {
            noValue(place, name);
        } else if (!counted) {
            fault(place, "'" + name + "' is no number, so that it is neither above nor below one");
        }
    }

    private boolean isValue(String name) {
        return Variable.READ_ONLY.contains(name)
                || variables.containsKey(name)
                || vocabulary.gear().contains(name);
    }

    private void noValue(Place place, String name) {
        missing(place, "the condition asks for a value '" + name + "', which there is not");
    }

    private void missing(Place place, String text) {
        faults.add(new Fault(place, Concern.NAMES, text));
    }

    private void fault(Place place, String text) {
        faults.add(new Fault(place, Concern.VALUES, text));
    }
}
