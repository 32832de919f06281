package instep.machine;

import static instep.machine.Chart.NONE;

import instep.machine.InvalidChartException.Concern;
import instep.machine.InvalidChartException.Fault;
import java.util.ArrayList;
import java.util.List;
import java.util.stream.Collectors;

/**
 * Circles of eventless transitions that are certain without running the chart: each is the first choice of its state, none has a condition,
 * and no parallel region could break them. What this does not find, the machine finds while it runs.
 */
final class EventlessCircles {
    private final ChartCompiler chart;
    private final int[][] initial;
    private final int[][] transitionsOf;
    private final boolean[] reported;

    EventlessCircles(ChartCompiler chart) {
        this.chart = chart;
        initial = chart.initial();
        transitionsOf = chart.transitionsOf();
        reported = new boolean[chart.transitions.size()];
    }

    List<Fault> faults() {
        List<Fault> faults = new ArrayList<>();
        for (int s = 0; s < chart.states.size(); s++) {
            List<Integer> circle = circleFrom(s);
            if (!circle.isEmpty() && circle.stream().noneMatch(t -> reported[t])) {
                circle.forEach(t -> reported[t] = true);
                faults.add(new Fault(chart.transitions.get(circle.get(0)).place(), Concern.STATES, text(circle)));
            }
        }
        return faults;
    }

    private String text(List<Integer> circle) {
        String names = circle.stream()
                .map(t -> "'" + chart.states.get(chart.source.get(t)).name() + "'")
                .distinct()
                .collect(Collectors.joining(", "));
        return "runs in a circle without end through " + names
                + ": give one of its transitions an event, a time or a condition";
    }

    /** The transitions of the circle that entering the state leads to for certain; empty if there is none. */
    private List<Integer> circleFrom(int state) {
        List<Integer> path = new ArrayList<>();
        int atomic = innermost(state);
        while (atomic >= 0) {
            int t = certainTransition(atomic);
            if (t < 0) {
                return List.of();
            }
            int before = path.indexOf(t);
            if (before >= 0) {
                return path.subList(before, path.size());
            }
            path.add(t);
            List<String> targets = chart.transitions.get(t).targets();
            if (targets.size() > 1) {
                return List.of();
            }
            atomic = targets.isEmpty() ? atomic : innermost(chart.numberOf(targets.get(0)));
        }
        return List.of();
    }

    /** Where entering a state by default ends; -1 where that is not certain, or where the machine comes to its end. */
    private int innermost(int state) {
        int inner = state;
        while (isPlain(inner) && initial[inner].length > 0) {
            inner = initial[inner][0];
        }
        for (int above = inner; above >= 0; above = chart.parent.get(above)) {
            if (!isPlain(above) && above != inner) {
                return NONE;
            }
        }
        boolean ends = chart.states.get(inner).kind() == StateNode.Kind.FINAL && chart.parent.get(inner) == 0;
        return ends || chart.isHistory(inner) || chart.states.get(inner).kind() == StateNode.Kind.PARALLEL
                ? NONE
                : inner;
    }

    private boolean isPlain(int state) {
        return chart.states.get(state).kind() == StateNode.Kind.STATE;
    }

    private int certainTransition(int atomic) {
        for (int s = atomic; s >= 0; s = chart.parent.get(s)) {
            for (int t : transitionsOf[s]) {
                if (chart.isEventless(t)) {
                    return chart.transitions.get(t).cond().equals(Cond.ALWAYS) ? t : NONE;
                }
            }
        }
        return NONE;
    }
}
