package instep.advice;

import instep.machine.Chart;
import instep.machine.StateNode;
import instep.machine.TransitionNode;
import instep.time.Durations;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.stream.Collectors;

/**
 * The machine as a picture, in the DOT language of Graphviz, which draws it: {@code instep check --graph FILE | dot -Tsvg}. States inside states are boxes in boxes;
 * transitions are arrows with their events and what is done on the way; detours are dashed arrows, with what ends them; a dot leads to the state in which a
 * box begins; what a gesture does without going elsewhere stands in the state.
 */
public final class ChartGraph {
    private final Chart chart;
    private final EventWords words;
    private final StringBuilder out = new StringBuilder();

    private ChartGraph(Chart chart, EventWords words) {
        this.chart = chart;
        this.words = words;
    }

    public static String of(Chart chart, EventWords words) {
        ChartGraph graph = new ChartGraph(chart, words);
        graph.out.append("""
                digraph machine {
                  compound=true; rankdir=TB; nodesep=0.6; ranksep=0.7;
                  node [shape=box, style=rounded, fontname="sans-serif", fontsize=11, margin="0.15,0.1"];
                  edge [fontname="sans-serif", fontsize=10];
                  graph [fontname="sans-serif", fontsize=12, labeljust=l];
                  begin [shape=point, width=0.12];
                """);
        for (StateNode state : chart.state(0).children()) {
            graph.state(state, "  ");
        }
        graph.line("  begin -> " + end(graph.initial(chart.state(0)))
                + attributes("", head(graph.initial(chart.state(0)))) + ";");
        for (int s = 0; s < chart.stateCount(); s++) {
            graph.arrows(chart.state(s));
        }
        return graph.out.append("}\n").toString();
    }

    private void line(String text) {
        out.append(text).append('\n');
    }

    private void state(StateNode state, String indent) {
        if (state.children().isEmpty()) {
            String shape = state.kind() == StateNode.Kind.FINAL ? ", peripheries=2" : "";
            line(indent + quoted(state.name()) + " [label=" + label(state) + shape + "];");
            return;
        }
        line(indent + "subgraph " + quoted("cluster_" + state.name()) + " {");
        boolean isParallel = state.kind() == StateNode.Kind.PARALLEL;
        line(indent + "  label=" + label(state) + ";" + " style=\"rounded" + (isParallel ? ",bold" : "") + "\";");
        if (!isParallel) {
            String begin = quoted("begin of " + state.name());
            StateNode first = initial(state);
            line(indent + "  " + begin + " [shape=point, width=0.08];");
            line(indent + "  " + begin + " -> " + end(first) + attributes("", head(first)) + ";");
        }
        // An arrow to a box of boxes needs something inside it to point at.
        line(indent + "  " + anchor(state) + " [shape=point, style=invis, width=0.01];");
        state.children().forEach(child -> state(child, indent + "  "));
        line(indent + "}");
    }

    private String label(StateNode state) {
        List<String> lines = new ArrayList<>();
        lines.add(state.name() + nature(state));
        if (state.angle() != null) {
            lines.add("on air: " + state.angle());
        }
        state.onEntry().forEach(action -> lines.add("on entry: " + words.action(action)));
        state.onExit().forEach(action -> lines.add("on exit: " + words.action(action)));
        for (TransitionNode transition : state.transitions()) {
            if (staysIn(transition, state)) {
                lines.add(events(transition) + ": " + words.what(transition));
            }
        }
        return lines.stream().map(ChartGraph::escaped).collect(Collectors.joining("\\l", "\"", "\\l\""));
    }

    private static String nature(StateNode state) {
        String kind = switch (state.kind()) {
            case PARALLEL -> " (all at once)";
            case SHALLOW_HISTORY -> " (history)";
            case DEEP_HISTORY -> " (deep history)";
            case STATE, FINAL -> "";
        };
        return kind + (state.rolling() ? " (take open)" : "");
    }

    /** An arrow from a state to itself would hide behind it. */
    private static boolean staysIn(TransitionNode transition, StateNode state) {
        return transition.targets().isEmpty() || transition.targets().equals(List.of(state.name()));
    }

    private void arrows(StateNode state) {
        for (TransitionNode transition : state.transitions()) {
            if (!staysIn(transition, state)) {
                for (String target : transition.targets()) {
                    StateNode to = chart.state(chart.stateNumber(target));
                    line("  " + end(state) + " -> " + end(to)
                            + attributes(
                                    "label=" + quoted(state, transition),
                                    transition.isDetour() ? "style=dashed" : "",
                                    tail(state),
                                    head(to))
                            + ";");
                }
            }
        }
    }

    /** What is written at an arrow, a line for each thing; with room around it, so that the arrow does not run through it. */
    private String quoted(StateNode state, TransitionNode transition) {
        List<String> lines = new ArrayList<>();
        boolean isDefault =
                state.kind() == StateNode.Kind.SHALLOW_HISTORY || state.kind() == StateNode.Kind.DEEP_HISTORY;
        lines.add((isDefault ? "at first" : events(transition)) + EventWords.condition(transition));
        if (transition.afterNanos() >= 0) {
            lines.add("after " + Durations.ofNanos(transition.afterNanos()));
        }
        if (transition.angle() != null) {
            lines.add("cut to " + transition.angle());
        }
        transition.actions().forEach(action -> lines.add(words.action(action)));
        if (transition.isDetour()) {
            lines.add(words.untils(transition));
        }
        return lines.stream().map(line -> " " + escaped(line) + " ").collect(Collectors.joining("\\n", "\"", "\""));
    }

    /** A state, or what stands for it inside its box. */
    private static String end(StateNode state) {
        return state.children().isEmpty() ? quoted(state.name()) : anchor(state);
    }

    /** An arrow begins at a box of boxes, not at what stands for it inside. */
    private static String tail(StateNode from) {
        return from.children().isEmpty() ? "" : "ltail=" + quoted("cluster_" + from.name());
    }

    private static String head(StateNode to) {
        return to.children().isEmpty() ? "" : "lhead=" + quoted("cluster_" + to.name());
    }

    private static String attributes(String... all) {
        String given = Arrays.stream(all).filter(one -> !one.isEmpty()).collect(Collectors.joining(", "));
        return given.isEmpty() ? "" : " [" + given + "]";
    }

    private StateNode initial(StateNode state) {
        String initial = state.initial();
        return initial == null ? state.children().get(0) : chart.state(chart.stateNumber(initial));
    }

    private String events(TransitionNode transition) {
        return transition.events().isEmpty()
                ? "by itself"
                : transition.events().stream().map(words::shortName).collect(Collectors.joining(", "));
    }

    private static String anchor(StateNode state) {
        return quoted("in " + state.name());
    }

    private static String quoted(String text) {
        return "\"" + escaped(text) + "\"";
    }

    private static String escaped(String text) {
        return text.replace("\\", "\\\\").replace("\"", "\\\"");
    }
}
