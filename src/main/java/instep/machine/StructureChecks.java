package instep.machine;

import instep.machine.InvalidChartException.Concern;
import instep.machine.InvalidChartException.Fault;
import java.util.ArrayList;
import java.util.HashSet;
import java.util.List;
import java.util.Set;
import java.util.stream.Stream;

/** Whether states, targets and histories hold together: what W3C SCXML 1.0 asks of a document in section 3. Finds every fault. */
final class StructureChecks {
    private final ChartCompiler chart;
    private final Vocabulary vocabulary;
    private final List<Fault> faults = new ArrayList<>();

    StructureChecks(ChartCompiler chart, Vocabulary vocabulary) {
        this.chart = chart;
        this.vocabulary = vocabulary;
    }

    List<Fault> faults() {
        for (int s = 0; s < chart.states.size(); s++) {
            checkName(s);
            checkKind(s);
            checkInitial(s);
        }
        Set<String> raised = Set.copyOf(chart.raised());
        for (TransitionNode transition : chart.transitions) {
            checkTargets(transition);
            Stream.concat(transition.events().stream(), transition.untilEvents().stream())
                    .filter(event -> !canOccur(event, raised))
                    .forEach(event -> missing(transition.place(), "nothing raises an event '" + event + "'"));
        }
        return faults;
    }

    private void checkName(int state) {
        StateNode node = chart.states.get(state);
        int first = chart.numberOf(node.name());
        if (first != state) {
            Place before = chart.states.get(first).place();
            missing(node.place(), "the state name '" + node.name() + "' is taken: see " + before);
        }
    }

    private void checkInitial(int state) {
        StateNode node = chart.states.get(state);
        String initial = node.initial();
        if (initial == null) {
            return;
        }
        int target = chart.numberOf(initial);
        if (target < 0 || !chart.isInside(target, state)) {
            missing(node.place(), "'" + node.name() + "' begins in '" + initial + "', which is no state inside it");
        } else if (node.kind() == StateNode.Kind.PARALLEL) {
            fault(
                    node.place(),
                    "the parallel state '" + node.name() + "' begins in all of its states, so that it has no initial");
        }
    }

    private void checkKind(int state) {
        StateNode node = chart.states.get(state);
        String name = "'" + node.name() + "'";
        boolean hasRealChild = node.children().stream().anyMatch(child -> !isHistoryKind(child.kind()));
        switch (node.kind()) {
            case FINAL -> {
                if (!node.children().isEmpty() || !node.transitions().isEmpty()) {
                    fault(node.place(), "the final state " + name + " can hold neither states nor transitions");
                }
                if (state > 0 && chart.states.get(chart.parent.get(state)).kind() == StateNode.Kind.PARALLEL) {
                    fault(
                            node.place(),
                            "the final state " + name + " cannot be a region of a parallel state by itself");
                }
            }
            case SHALLOW_HISTORY, DEEP_HISTORY -> checkHistory(state);
            case PARALLEL -> {
                if (!hasRealChild) {
                    fault(node.place(), "the parallel state " + name + " has no states inside");
                }
            }
            case STATE -> {
                if (!node.children().isEmpty() && !hasRealChild) {
                    fault(node.place(), name + " holds a history but no state to remember");
                }
            }
        }
    }

    /** A history has one way out, for when there is nothing to remember: without event or condition, to a sibling or deeper. */
    private void checkHistory(int state) {
        StateNode node = chart.states.get(state);
        List<TransitionNode> out = node.transitions();
        boolean sound = state > 0
                && node.children().isEmpty()
                && out.size() == 1
                && out.get(0).events().isEmpty()
                && !out.get(0).targets().isEmpty()
                && out.get(0).targets().stream().allMatch(t -> isBesideOrDeeper(t, state));
        if (!sound) {
            fault(
                    node.place(),
                    "the history '" + node.name()
                            + "' needs one target beside it, to enter when there is nothing to remember yet");
        } else if (leadsBack(state)) {
            fault(
                    node.place(),
                    "the history '" + node.name() + "' leads back to itself when there is nothing to remember");
        }
    }

    private boolean isBesideOrDeeper(String target, int history) {
        int number = chart.numberOf(target);
        // One that does not exist is a fault of its own.
        return number < 0 || (number != history && chart.isInside(number, chart.parent.get(history)));
    }

    /** Histories that stand for one another would be followed for ever. */
    private boolean leadsBack(int history) {
        Set<Integer> seen = new HashSet<>();
        List<Integer> open = new ArrayList<>(List.of(history));
        while (!open.isEmpty()) {
            int next = open.remove(open.size() - 1);
            if (next == history && !seen.isEmpty()) {
                return true;
            }
            if (next >= 0 && chart.isHistory(next) && seen.add(next)) {
                chart.states
                        .get(next)
                        .transitions()
                        .forEach(t -> t.targets().forEach(to -> open.add(chart.numberOf(to))));
            }
        }
        return false;
    }

    private void checkTargets(TransitionNode node) {
        for (String target : node.targets()) {
            if (chart.numberOf(target) < 0) {
                missing(node.place(), "there is no state '" + target + "'");
            }
        }
        List<Integer> known = node.targets().stream()
                .map(chart::numberOf)
                .filter(target -> target >= 0)
                .toList();
        for (int i = 0; i < known.size(); i++) {
            for (int j = i + 1; j < known.size(); j++) {
                checkTogether(node, known.get(i), known.get(j));
            }
        }
        if (node.isDetour() && node.angle() == null && node.targets().isEmpty()) {
            fault(node.place(), "a detour needs an angle or a target to go to");
        }
    }

    /** Several targets must be able to be active at once: each pair in different regions of a parallel state. */
    private void checkTogether(TransitionNode node, int a, int b) {
        int common = a;
        while (common != b && !chart.isInside(b, common)) {
            common = chart.parent.get(common);
            if (common < 0) {
                return;
            }
        }
        boolean together = chart.states.get(common).kind() == StateNode.Kind.PARALLEL && common != a && common != b;
        if (!together) {
            fault(
                    node.place(),
                    "'" + chart.states.get(a).name() + "' and '"
                            + chart.states.get(b).name() + "' cannot be active together");
        }
    }

    /** A descriptor matches whole names and what they begin with, up to a dot (SCXML 3.12.1). */
    private boolean canOccur(String event, Set<String> raised) {
        if (event.startsWith(Vocabulary.DONE)) {
            return chart.numberOf(event.substring(Vocabulary.DONE.length())) >= 0;
        }
        return vocabulary.canonical(event).isPresent()
                || raised.stream().anyMatch(name -> name.equals(event) || name.startsWith(event + "."));
    }

    private static boolean isHistoryKind(StateNode.Kind kind) {
        return kind == StateNode.Kind.SHALLOW_HISTORY || kind == StateNode.Kind.DEEP_HISTORY;
    }

    private void missing(Place place, String text) {
        faults.add(new Fault(place, Concern.NAMES, text));
    }

    private void fault(Place place, String text) {
        faults.add(new Fault(place, Concern.STATES, text));
    }
}
