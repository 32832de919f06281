package instep.machine;

import java.util.ArrayDeque;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.Deque;
import java.util.HashMap;
import java.util.HashSet;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Set;
import org.jspecify.annotations.Nullable;

/**
 * W3C SCXML 1.0, appendix D, written down as it stands there, with lists and sets of objects: the procedures have its names. It knows neither
 * angles, times nor detours. It departs from the text in one place, named there.
 */
final class AppendixD {
    /** A state of the document. */
    private static final class S {
        final StateNode node;
        final @Nullable S parent;
        final int order;
        final List<S> children = new ArrayList<>();
        final List<T> transitions = new ArrayList<>();

        S(StateNode node, @Nullable S parent, int order) {
            this.node = node;
            this.parent = parent;
            this.order = order;
        }

        boolean isHistory() {
            return node.kind() == StateNode.Kind.SHALLOW_HISTORY || node.kind() == StateNode.Kind.DEEP_HISTORY;
        }

        boolean isFinal() {
            return node.kind() == StateNode.Kind.FINAL;
        }

        boolean isParallel() {
            return node.kind() == StateNode.Kind.PARALLEL;
        }

        boolean isAtomic() {
            return children.isEmpty() && !isHistory();
        }

        boolean isCompound() {
            return node.kind() == StateNode.Kind.STATE && !children.isEmpty();
        }
    }

    /** A transition of the document. */
    private record T(S source, TransitionNode node, int number) {}

    private static final int MOST_STEPS = 60;
    private static final Comparator<S> DOCUMENT_ORDER = Comparator.comparingInt(s -> s.order);

    private final List<String> log = new ArrayList<>();
    private final List<S> all = new ArrayList<>();
    private final Map<String, S> byName = new HashMap<>();
    private final S root;
    private int transitionCount;

    private final Set<S> configuration = new HashSet<>();
    private final Map<S, Set<S>> historyValue = new HashMap<>();
    private final Deque<String> internalQueue = new ArrayDeque<>();
    private boolean running = true;

    AppendixD(Chart chart) {
        root = read(chart.state(0), null);
    }

    private S read(StateNode node, @Nullable S parent) {
        S state = new S(node, parent, all.size());
        all.add(state);
        byName.put(node.name(), state);
        node.transitions().forEach(t -> state.transitions.add(new T(state, t, transitionCount++)));
        node.children().forEach(child -> state.children.add(read(child, state)));
        return state;
    }

    String log() {
        String text = String.join(" ", log);
        log.clear();
        return text;
    }

    /** Runs in a circle, for which the appendix has no remedy. */
    static final class Circle extends RuntimeException {}

    void start() {
        Set<S> entries = new LinkedHashSet<>();
        addDescendantStatesToEnter(root, entries);
        enter(entries);
        macrostep();
    }

    void event(String name) {
        if (running) {
            Set<T> enabled = selectTransitions(name);
            if (!enabled.isEmpty()) {
                microstep(enabled);
            }
            macrostep();
        }
    }

    private void macrostep() {
        int steps = 0;
        while (running) {
            Set<T> enabled = selectTransitions(null);
            if (enabled.isEmpty()) {
                if (internalQueue.isEmpty()) {
                    return;
                }
                enabled = selectTransitions(internalQueue.remove());
            }
            if (!enabled.isEmpty()) {
                microstep(enabled);
            }
            if (++steps > MOST_STEPS) {
                throw new Circle();
            }
        }
        exitInterpreter();
    }

    private void exitInterpreter() {
        List<S> toExit = new ArrayList<>(configuration);
        toExit.sort(DOCUMENT_ORDER.reversed());
        toExit.forEach(this::exit);
        internalQueue.clear();
    }

    private Set<T> selectTransitions(@Nullable String event) {
        Set<T> enabled = new LinkedHashSet<>();
        List<S> atomicStates = configuration.stream()
                .filter(S::isAtomic)
                .sorted(DOCUMENT_ORDER)
                .toList();
        for (S state : atomicStates) {
            T t = firstEnabled(state, event);
            if (t != null) {
                enabled.add(t);
            }
        }
        return removeConflictingTransitions(enabled);
    }

    private @Nullable T firstEnabled(S state, @Nullable String event) {
        for (S s = state; s != null; s = s.parent) {
            for (T t : s.transitions) {
                boolean matches = event == null
                        ? t.node.events().isEmpty()
                        : t.node.events().stream().anyMatch(descriptor -> nameMatch(descriptor, event));
                if (matches && conditionMatch(t.node.cond())) {
                    return t;
                }
            }
        }
        return null;
    }

    private static boolean nameMatch(String descriptor, String event) {
        List<String> tokens = List.of(descriptor.split("\\."));
        List<String> name = List.of(event.split("\\."));
        return descriptor.equals("*")
                || (tokens.size() <= name.size()
                        && name.subList(0, tokens.size()).equals(tokens));
    }

    private boolean conditionMatch(Cond cond) {
        if (cond instanceof Cond.Not not) {
            return !conditionMatch(not.cond());
        } else if (cond instanceof Cond.In in) {
            return configuration.contains(named(in.state()));
        }
        return cond.equals(Cond.ALWAYS);
    }

    private Set<T> removeConflictingTransitions(Set<T> enabled) {
        Set<T> filtered = new LinkedHashSet<>();
        for (T t1 : enabled) {
            boolean preempted = false;
            Set<T> toRemove = new LinkedHashSet<>();
            for (T t2 : filtered) {
                Set<S> both = computeExitSet(Set.of(t1));
                both.retainAll(computeExitSet(Set.of(t2)));
                if (!both.isEmpty()) {
                    if (isDescendant(t1.source, t2.source)) {
                        toRemove.add(t2);
                    } else {
                        preempted = true;
                        break;
                    }
                }
            }
            if (!preempted) {
                filtered.removeAll(toRemove);
                filtered.add(t1);
            }
        }
        return filtered;
    }

    private void microstep(Set<T> enabled) {
        List<S> toExit = new ArrayList<>(computeExitSet(enabled));
        toExit.sort(DOCUMENT_ORDER.reversed());
        for (S s : toExit) {
            for (S h : s.children) {
                if (h.isHistory()) {
                    Set<S> remembered = new LinkedHashSet<>();
                    for (S s0 : configuration) {
                        boolean kept = h.node.kind() == StateNode.Kind.DEEP_HISTORY
                                ? s0.isAtomic() && isDescendant(s0, s)
                                : s0.parent == s;
                        if (kept) {
                            remembered.add(s0);
                        }
                    }
                    historyValue.put(h, remembered);
                }
            }
        }
        toExit.forEach(this::exit);
        for (T t : enabled) {
            log.add("t" + t.number);
            execute(t.node.actions());
        }
        enter(computeEntrySet(enabled));
    }

    private void exit(S s) {
        execute(s.node.onExit());
        configuration.remove(s);
        if (s != root) {
            log.add("-" + s.node.name());
        }
    }

    private void execute(List<Action> actions) {
        actions.forEach(action -> internalQueue.add(((Action.Raise) action).event()));
    }

    private Set<S> computeExitSet(Set<T> transitions) {
        Set<S> toExit = new HashSet<>();
        for (T t : transitions) {
            if (!t.node.targets().isEmpty()) {
                S domain = getTransitionDomain(t);
                configuration.stream().filter(s -> isDescendant(s, domain)).forEach(toExit::add);
            }
        }
        return toExit;
    }

    private void enter(Set<S> entrySet) {
        List<S> toEnter = new ArrayList<>(entrySet);
        toEnter.sort(DOCUMENT_ORDER);
        for (S s : toEnter) {
            // The text enters such a state a second time, where a history stands for descendants of a state that is not
            // left.
            if (configuration.contains(s)) {
                continue;
            }
            configuration.add(s);
            if (s != root) {
                log.add("+" + s.node.name());
            }
            execute(s.node.onEntry());
            if (s.isFinal()) {
                enteredFinal(s);
            }
        }
    }

    private void enteredFinal(S s) {
        S parent = parentOf(s);
        if (parent == root) {
            running = false;
            return;
        }
        internalQueue.add("done.state." + parent.node.name());
        S grandparent = parentOf(parent);
        if (grandparent.isParallel() && getChildStates(grandparent).stream().allMatch(this::isInFinalState)) {
            internalQueue.add("done.state." + grandparent.node.name());
        }
    }

    private Set<S> computeEntrySet(Set<T> transitions) {
        Set<S> toEnter = new LinkedHashSet<>();
        for (T t : transitions) {
            if (t.node.targets().isEmpty()) {
                continue;
            }
            t.node.targets().forEach(s -> addDescendantStatesToEnter(named(s), toEnter));
            S ancestor = getTransitionDomain(t);
            getEffectiveTargetStates(t).forEach(s -> addAncestorStatesToEnter(s, ancestor, toEnter));
        }
        return toEnter;
    }

    private void addDescendantStatesToEnter(S state, Set<S> toEnter) {
        if (state.isHistory()) {
            Set<S> instead = historyValue.containsKey(state) ? historyValue.get(state) : defaultOf(state);
            instead.forEach(s -> addDescendantStatesToEnter(s, toEnter));
            instead.forEach(s -> addAncestorStatesToEnter(s, parentOf(state), toEnter));
            return;
        }
        toEnter.add(state);
        if (state.isCompound()) {
            String said = state.node.initial();
            S initial = said == null ? getChildStates(state).get(0) : named(said);
            addDescendantStatesToEnter(initial, toEnter);
            addAncestorStatesToEnter(initial, state, toEnter);
        } else if (state.isParallel()) {
            addMissingChildren(state, toEnter);
        }
    }

    private void addAncestorStatesToEnter(S state, S ancestor, Set<S> toEnter) {
        for (S anc : getProperAncestors(state, ancestor)) {
            toEnter.add(anc);
            if (anc.isParallel()) {
                addMissingChildren(anc, toEnter);
            }
        }
    }

    private void addMissingChildren(S parallel, Set<S> toEnter) {
        for (S child : getChildStates(parallel)) {
            if (toEnter.stream().noneMatch(s -> isDescendant(s, child))) {
                addDescendantStatesToEnter(child, toEnter);
            }
        }
    }

    private boolean isInFinalState(S s) {
        if (s.isCompound()) {
            return getChildStates(s).stream().anyMatch(c -> c.isFinal() && configuration.contains(c));
        }
        return s.isParallel() && getChildStates(s).stream().allMatch(this::isInFinalState);
    }

    private S getTransitionDomain(T t) {
        Set<S> targets = getEffectiveTargetStates(t);
        if (t.node.internal() && t.source.isCompound() && targets.stream().allMatch(s -> isDescendant(s, t.source))) {
            return t.source;
        }
        for (S anc : getProperAncestors(t.source, null)) {
            if ((anc.isCompound() || anc == root) && targets.stream().allMatch(s -> isDescendant(s, anc))) {
                return anc;
            }
        }
        return root;
    }

    private Set<S> getEffectiveTargetStates(T t) {
        Set<S> targets = new LinkedHashSet<>();
        for (String name : t.node.targets()) {
            S s = named(name);
            if (!s.isHistory()) {
                targets.add(s);
            } else if (historyValue.containsKey(s)) {
                targets.addAll(historyValue.get(s));
            } else {
                targets.addAll(getEffectiveTargetStates(s.transitions.get(0)));
            }
        }
        return targets;
    }

    private Set<S> defaultOf(S history) {
        Set<S> targets = new LinkedHashSet<>();
        history.transitions.get(0).node.targets().forEach(name -> targets.add(named(name)));
        return targets;
    }

    private static List<S> getProperAncestors(S state, @Nullable S upTo) {
        List<S> ancestors = new ArrayList<>();
        for (S s = state.parent; s != null && s != upTo; s = s.parent) {
            ancestors.add(s);
        }
        return ancestors;
    }

    private static boolean isDescendant(S s, S ancestor) {
        return getProperAncestors(s, null).contains(ancestor);
    }

    private static List<S> getChildStates(S s) {
        return s.children.stream().filter(c -> !c.isHistory()).toList();
    }

    private S named(String name) {
        S state = byName.get(name);
        if (state == null) {
            throw new IllegalArgumentException(name);
        }
        return state;
    }

    private static S parentOf(S s) {
        if (s.parent == null) {
            throw new IllegalArgumentException("the root");
        }
        return s.parent;
    }
}
