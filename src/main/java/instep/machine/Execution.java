package instep.machine;

import java.util.List;
import org.jspecify.annotations.Nullable;

/** What states and transitions have done on the way: the executable content of W3C SCXML 1.0, section 4, and the values that it sees. */
final class Execution implements Values {
    private final Chart chart;
    private final Memory memory;
    private final Moment moment;
    private final Values outside;
    private final Effects effects;
    private final InternalQueue queue;

    Execution(Chart chart, Memory memory, Moment moment, Values outside, Effects effects, InternalQueue queue) {
        this.chart = chart;
        this.memory = memory;
        this.moment = moment;
        this.outside = outside;
        this.effects = effects;
        this.queue = queue;
    }

    /** Where events go that it raises. */
    InternalQueue queue() {
        return queue;
    }

    @Override
    public @Nullable Object value(String name) {
        return switch (name) {
            case "take" -> memory.take;
            case "chapter" -> memory.chapter;
            case "angle" -> chart.angleName(memory.onAir);
            default -> {
                int variable = chart.variableNumber(name);
                yield variable < 0 ? outside.value(name) : memory.data[variable];
            }
        };
    }

    void perform(List<Action> actions) {
        for (int i = 0; i < actions.size(); i++) {
            perform(actions.get(i));
        }
    }

    private void perform(Action action) {
        if (action instanceof Action.Send send) {
            effects.send(chart.message(send.message()), this, moment.began, moment.at);
        } else if (action instanceof Action.Mark mark) {
            mark(mark);
        } else if (action instanceof Action.Set set) {
            int variable = chart.variableNumber(set.name());
            memory.data[variable] = assigned(set.to(), chart.variable(variable), memory.data[variable]);
        } else if (action instanceof Action.Raise raise) {
            queue.add(chart.event(raise.event()));
        }
    }

    private void mark(Action.Mark mark) {
        if (mark.kind().equals("chapter")) {
            memory.chapter++;
        }
        Template text = mark.text();
        effects.mark(
                mark.kind(), text == null ? null : text.render(this, Template.Escape.NONE), moment.began, moment.at);
    }

    private Object assigned(Action.Assignment to, Variable variable, Object old) {
        if (to instanceof Action.Assignment.Constant constant) {
            return constant.value();
        } else if (to instanceof Action.Assignment.Add add) {
            return variable.sum((Long) old, add.amount());
        }
        return ((Action.Assignment.Text) to).template().render(this, Template.Escape.NONE);
    }
}
