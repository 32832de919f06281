package instep.machine;

import java.util.ArrayList;
import java.util.List;
import java.util.Random;
import java.util.function.Predicate;
import org.jspecify.annotations.Nullable;

/** A chart made of dice, as {@link ChartText} reads it: of all kinds of states and transitions, with detours and angles where asked for. */
final class RandomChart {
    static final List<String> EVENTS = List.of("e", "f", "f.g", "f.g.h", "k");
    private static final List<String> DESCRIPTORS = List.of("e", "f", "f.g", "f.*", "f.g.h", "k", "e, k", "*");
    private static final List<String> RAISED = List.of("r", "r.s", "q");
    private static final List<String> GESTURES = List.of(
            "left.press", "middle.press", "right.press", "right.tap", "left.hold", "red.press", "left+middle.press");
    private static final List<String> UNTILS = List.of(
            "left.release",
            "middle.press",
            "right.release",
            "left.hold-end, left.press",
            "e",
            "200ms",
            "k, 1s",
            "right.tap");

    private static final List<String> LATCHES =
            List.of("left.latch-on", "middle.latch-on", "left.latch-off", "red.tap", "left+middle.latch-on");

    /** How a contact begins what it holds, and how it ends it. */
    private static final List<List<String>> HELD = List.of(
            List.of("left.press", "left.release"),
            List.of("middle.press", "middle.release"),
            List.of("right.hold", "right.hold-end"),
            List.of("red.press", "red.release"),
            List.of("left+middle.press", "left+middle.release"));

    /** What a chart is made of. */
    private enum Sort {
        /** No detours, angles and times. */
        PLAIN,
        /** All that the language has. */
        ALL,
        /** The same, but each detour lasts as long as a contact is closed. */
        HELD,
        /** The same, but each detour is to an angle, and nothing waits or is remembered. */
        STAYING
    }

    /** A state that is being made. */
    private static final class S {
        final String kind;
        final String name;
        final S parent;
        final List<S> children = new ArrayList<>();

        S(String kind, String name, @Nullable S parent) {
            this.kind = kind;
            this.name = name;
            this.parent = parent == null ? this : parent;
        }

        boolean isReal() {
            return !kind.endsWith("history");
        }

        boolean isInside(S other) {
            return this != parent && (parent == other || parent.isInside(other));
        }
    }

    private final Random dice;
    private final Sort sort;
    private final boolean detours;
    private final List<S> states = new ArrayList<>();
    private final StringBuilder text = new StringBuilder();

    private RandomChart(long seed, Sort sort) {
        dice = new Random(seed);
        this.sort = sort;
        detours = sort != Sort.PLAIN;
    }

    /** A chart without detours, angles and times. */
    static String plain(long seed) {
        return new RandomChart(seed, Sort.PLAIN).text();
    }

    /** A chart with all that the language has. */
    static String withDetours(long seed) {
        return new RandomChart(seed, Sort.ALL).text();
    }

    /** A chart with all that the language has, in which each detour lasts as long as a contact is closed. */
    static String withHeldDetours(long seed) {
        return new RandomChart(seed, Sort.HELD).text();
    }

    /** A chart without histories and delays, whose detours are to an angle. */
    static String withStayingDetours(long seed) {
        return new RandomChart(seed, Sort.STAYING).text();
    }

    private String text() {
        S root = new S("state", "machine", null);
        int top = between(2, 4);
        for (int i = 0; i < top; i++) {
            root.children.add(grow(root, 1));
        }
        if (chance(0.2)) {
            root.children.add(make("final", root));
        }
        root.children.forEach(state -> write(state, 0));
        return text.toString();
    }

    private S make(String kind, S parent) {
        S state = new S(kind, "s" + states.size(), parent);
        states.add(state);
        return state;
    }

    private S grow(S parent, int depth) {
        S state = make(depth < 4 && chance(0.25) ? "parallel" : "state", parent);
        boolean parallel = state.kind.equals("parallel");
        if (depth < 4 && (parallel || chance(0.5))) {
            int count = between(parallel ? 1 : 2, 3);
            for (int i = 0; i < count; i++) {
                state.children.add(grow(state, depth + 1));
            }
            if (!parallel && chance(0.4)) {
                state.children.add(make("final", state));
            }
            if (sort != Sort.STAYING && chance(0.4)) {
                state.children.add(make(chance(0.5) ? "history" : "deep history", state));
            }
        }
        return state;
    }

    private void write(S state, int indent) {
        String pad = "  ".repeat(indent);
        line(pad + state.kind + " " + state.name + rest(state));
        if (!state.isReal()) {
            return;
        }
        for (String content : List.of("enter", "exit")) {
            if (chance(0.15)) {
                line(pad + "  " + content + " raise " + any(RAISED));
            }
        }
        if (!state.kind.equals("final")) {
            int count = between(0, 3);
            for (int i = 0; i < count; i++) {
                line(pad + "  " + transition());
            }
        }
        state.children.forEach(child -> write(child, indent + 1));
    }

    private String rest(S state) {
        if (state.kind.equals("history")) {
            return " -> " + some(s -> s.isReal() && s.parent == state.parent);
        } else if (state.kind.equals("deep history")) {
            return " -> " + some(s -> s.isReal() && s.isInside(state.parent));
        }
        boolean compound = state.kind.equals("state") && !state.children.isEmpty();
        String initial = compound && chance(0.4) ? " initial " + some(s -> s.isReal() && s.isInside(state)) : "";
        String angle = detours && chance(0.3) && !state.kind.equals("final") ? " angle " + any(ChartText.ANGLES) : "";
        return initial + angle + (detours && chance(0.1) ? " rolling" : "");
    }

    private String transition() {
        String events = "on " + any(detours && chance(0.6) ? GESTURES : DESCRIPTORS);
        boolean eventless = chance(0.1);
        if (eventless) {
            events = "always";
        } else if (chance(0.15)) {
            events = "on " + any(RAISED);
        } else if (chance(0.1)) {
            events = "on done.state." + some(S::isReal);
        }
        boolean detour = detours && !eventless && chance(0.5);
        if (detour && sort == Sort.STAYING) {
            return staying();
        }
        boolean away = eventless || chance(detour ? 0.4 : 0.8);
        String targets = away ? " -> " + targets() : "";
        if (detour && sort == Sort.HELD) {
            return held(away ? targets : "");
        }
        return events
                + (eventless || chance(0.2) ? " if " + (chance(0.5) ? "not " : "") + "in(" + some(S::isReal) + ")" : "")
                + targets
                + (away && chance(0.3) ? " internal" : "")
                + (detours && ((detour && !away) || chance(0.2)) ? " angle " + any(ChartText.ANGLES) : "")
                + (detour ? " until " + any(UNTILS).replace("k, 1s", chance(0.5) ? "k" : "1s") : "")
                + (detours && sort != Sort.STAYING && !eventless && chance(0.1) ? " after 150ms" : "")
                + (chance(0.1) ? " do raise " + any(RAISED) : "");
    }

    private String staying() {
        String until = chance(0.3) ? any(LATCHES) : any(UNTILS).replace("k, 1s", chance(0.5) ? "k" : "1s");
        return "on " + any(chance(0.3) ? LATCHES : GESTURES)
                + (chance(0.2) ? " if not in(" + some(S::isReal) + ")" : "")
                + " angle " + any(ChartText.ANGLES)
                + " until " + until
                + (chance(0.1) ? " do raise " + any(RAISED) : "");
    }

    private String held(String targets) {
        List<String> pair = any(HELD);
        return "on " + pair.get(0)
                + (chance(0.2) ? " if not in(" + some(S::isReal) + ")" : "")
                + targets
                + (targets.isEmpty() || chance(0.5) ? " angle " + any(ChartText.ANGLES) : "")
                + " until " + pair.get(1)
                + (chance(0.1) ? " after 150ms" : "")
                + (chance(0.1) ? " do raise " + any(RAISED) : "");
    }

    private String targets() {
        List<S> parallels = states.stream()
                .filter(s -> s.kind.equals("parallel")
                        && s.children.size() > 1
                        && s.children.get(1).isReal())
                .toList();
        if (parallels.isEmpty() || chance(0.7)) {
            return any(states).name;
        }
        S parallel = any(parallels);
        S first = parallel.children.get(0);
        S second = parallel.children.get(1);
        return some(s -> s.isReal() && (s == first || s.isInside(first))) + " "
                + some(s -> s.isReal() && (s == second || s.isInside(second)));
    }

    private String some(Predicate<S> which) {
        return any(states.stream().filter(which).toList()).name;
    }

    private <X> X any(List<X> of) {
        return of.get(dice.nextInt(of.size()));
    }

    private int between(int least, int most) {
        return least + dice.nextInt(most - least + 1);
    }

    private boolean chance(double of) {
        return dice.nextDouble() < of;
    }

    private void line(String line) {
        text.append(line).append('\n');
    }
}
