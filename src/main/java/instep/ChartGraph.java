package instep;

import instep.machine.Chart;
import instep.machine.StateNode;
import instep.machine.TransitionNode;
import java.util.ArrayList;
import java.util.List;
import java.util.stream.Collectors;

/**
 * The machine as a picture, in the DOT language of Graphviz, which draws it: {@code instep check --graph FILE | dot -Tsvg}. States inside states are boxes in boxes;
 * transitions are arrows with their events; detours are dashed arrows, with what ends them; what a gesture does without leaving its state stands in the state.
 */
final class ChartGraph {
    private final Chart chart;
    private final EventWords words;
    private final StringBuilder out = new StringBuilder();

    private ChartGraph(Chart chart, EventWords words) {
        this.chart = chart;
        this.words = words;
    }

    static String of(Chart chart, EventWords words) {
        ChartGraph graph = new ChartGraph(chart, words);
        graph.out.append("""
                digraph machine {
                  compound=true; rankdir=TB; nodesep=0.6; ranksep=0.7;
                  node [shape=box, style=rounded, fontname="sans-serif", fontsize=11, margin="0.15,0.1"];
                  edge [fontname="sans-serif", fontsize=10];
                  graph [fontname="sans-serif", fontsize=12, style=rounded];
                  begin [shape=point, width=0.12];
                """);
        for (StateNode state : chart.state(0).children()) {
            graph.state(state, "  ");
        }
        graph.line("  begin -> " + end(graph.initial(chart.state(0))) + ";");
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
        line(indent + "  label=" + label(state) + ";"
                + (state.kind() == StateNode.Kind.PARALLEL ? " peripheries=2;" : ""));
        // An arrow to a box of boxes needs something inside it to point at.
        line(indent + "  " + anchor(state) + " [shape=point, style=invis, width=0.01];");
        state.children().forEach(child -> state(child, indent + "  "));
        line(indent + "}");
    }

    private String label(StateNode state) {
        List<String> lines = new ArrayList<>();
        lines.add(state.name() + (state.rolling() ? " (take open)" : ""));
        if (state.angle() != null) {
            lines.add("on air: " + state.angle());
        }
        state.onEntry().forEach(action -> lines.add("on entry: " + words.action(action)));
        state.onExit().forEach(action -> lines.add("on exit: " + words.action(action)));
        for (TransitionNode transition : state.transitions()) {
            if (transition.targets().isEmpty()) {
                lines.add(events(transition) + ": " + words.what(transition));
            }
        }
        return lines.stream().map(ChartGraph::escaped).collect(Collectors.joining("\\l", "\"", "\\l\""));
    }

    private void arrows(StateNode state) {
        for (TransitionNode transition : state.transitions()) {
            for (String target : transition.targets()) {
                String text = transition.isDetour()
                        ? events(transition) + "\\n" + escaped(words.untils(transition))
                        : events(transition);
                String style = transition.isDetour() ? ", style=dashed" : "";
                StateNode to = chart.state(chart.stateNumber(target));
                line("  " + end(state) + " -> " + end(to) + " [label=\"" + text + "\"" + style + clusters(state, to)
                        + "];");
            }
        }
    }

    /** A state, or what stands for it inside its box. */
    private static String end(StateNode state) {
        return state.children().isEmpty() ? quoted(state.name()) : anchor(state);
    }

    private static String clusters(StateNode from, StateNode to) {
        String tail = from.children().isEmpty() ? "" : ", ltail=" + quoted("cluster_" + from.name());
        String head = to.children().isEmpty() ? "" : ", lhead=" + quoted("cluster_" + to.name());
        return tail + head;
    }

    private StateNode initial(StateNode state) {
        String initial = state.initial();
        return initial == null ? state.children().get(0) : chart.state(chart.stateNumber(initial));
    }

    private String events(TransitionNode transition) {
        return transition.events().isEmpty()
                ? "by itself"
                : transition.events().stream()
                        .map(words::shortName)
                        .map(ChartGraph::escaped)
                        .collect(Collectors.joining(", "));
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
