package instep.machine;

import static instep.machine.Chart.NONE;

import instep.gesture.GestureKind;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.BitSet;
import java.util.Comparator;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.Optional;
import java.util.function.IntPredicate;
import java.util.stream.Collectors;
import java.util.stream.Stream;
import org.jspecify.annotations.Nullable;

/**
 * Takes a machine's bearings in names, and finds the place again from them. What a foot holds is not part of it, as if the foot had been lifted. A
 * detour that went to another state and stays there is no detour any more: what it would have returned to is forgotten.
 */
final class Bearings {
    private final Chart chart;
    private final Memory memory;
    private final Detours detours;
    private final OnAir onAir;
    private final Memory lifted;
    /** By transition, once they have been asked for. */
    private final @Nullable String[] words;

    private final InternalQueue unheard = new InternalQueue();
    private final Detours liftedDetours;
    private final Step lifting;

    Bearings(Chart chart, Memory memory) {
        this.chart = chart;
        this.memory = memory;
        detours = new Detours(chart, memory);
        onAir = new OnAir(chart, memory);
        lifted = new Memory(chart);
        words = new String[chart.transitions.length];
        liftedDetours = new Detours(chart, lifted);
        Moment moment = new Moment();
        Execution unseen = new Execution(chart, lifted, moment, name -> null, Unseen.EFFECTS, unheard);
        lifting = new Step(chart, lifted, moment, Unseen.EFFECTS, unseen);
    }

    /** Nobody sees it. */
    private enum Unseen implements Effects {
        EFFECTS;

        @Override
        public void taken(int transition, boolean returning, long began, long at) {}

        @Override
        public void entered(int state, long began, long at) {}

        @Override
        public void left(int state, long began, long at) {}

        @Override
        public void takeOpened(long take, long began, long at) {}

        @Override
        public void takeClosed(long take, long began, long at) {}

        @Override
        public void cut(int angle, long began, long at) {}

        @Override
        public void send(int message, Values values, long began, long at) {}

        @Override
        public void mark(String kind, @Nullable String text, long began, long at) {}

        @Override
        public void fault(String text, long at) {}
    }

    /** An act with its place in the order of all. */
    private record Placed(long order, Whereabouts.Act act) {}

    /**
     * Where the machine stands.
     *
     * @param isClosed by contact or chord: whether a foot is on it
     */
    Whereabouts take(IntPredicate isClosed, List<String> latched) {
        Memory at = memory;
        IntPredicate isHeld = t -> isHeld(t, isClosed);
        if (detours.newest(isHeld) >= 0) {
            liftFeet(isHeld);
            at = lifted;
        }
        // Asked for after each press: without streams, which cost more than all else about it.
        List<String> active = new ArrayList<>(at.active.cardinality());
        for (int s = at.active.nextSetBit(1); s >= 0; s = at.active.nextSetBit(s + 1)) {
            active.add(chart.states[s].name());
        }
        Map<String, String> values = new LinkedHashMap<>();
        for (int v = 0; v < memory.data.length; v++) {
            values.put(chart.variable(v).name(), String.valueOf(memory.data[v]));
        }
        return new Whereabouts(active, acts(at), latched, memory.take, memory.takeBegan, memory.chapter, values);
    }

    /** On a copy, and unseen: only where it leads to counts. */
    private void liftFeet(IntPredicate isHeld) {
        lifted.copyFrom(memory);
        lifted.running = true;
        for (int t = liftedDetours.newest(isHeld); t >= 0; t = liftedDetours.newest(isHeld)) {
            lifting.endDetour(t);
            unheard.clear();
        }
    }

    private boolean isHeld(int t, IntPredicate isClosed) {
        int gestures = chart.gestures().count();
        for (int event = chart.matches.until[t].nextSetBit(0);
                event >= 0;
                event = chart.matches.until[t].nextSetBit(event + 1)) {
            if (event < gestures && isUp(event, isClosed)) {
                return true;
            }
        }
        return false;
    }

    /** Whether that gesture is the end of what a foot does now. */
    private boolean isUp(int gesture, IntPredicate isClosed) {
        GestureKind kind = chart.gestures().kind(gesture);
        return (kind == GestureKind.RELEASE || kind == GestureKind.HOLD_END)
                && isClosed.test(chart.gestures().source(gesture));
    }

    private List<Whereabouts.Act> acts(Memory at) {
        List<Placed> acts = new ArrayList<>();
        for (int s = at.active.nextSetBit(0); s >= 0; s = at.active.nextSetBit(s + 1)) {
            String angle = chart.angleName(at.base[s]);
            if (angle != null) {
                acts.add(new Placed(at.baseOrder[s], new Whereabouts.Act(angle, chart.states[s].name(), null)));
            }
        }
        String other = chart.angleName(at.other);
        if (other != null && isNewest(at.otherOrder, acts)) {
            acts.add(new Placed(at.otherOrder, new Whereabouts.Act(other, null, null)));
        }
        for (int i = 0; i < at.detourCount; i++) {
            int t = at.detours[i];
            if (chart.transitionAngle[t] >= 0) {
                act(t, at).ifPresent(act -> acts.add(new Placed(at.detourOrder[t], act)));
            }
        }
        acts.sort(Comparator.comparingLong(Placed::order));
        List<Whereabouts.Act> sorted = new ArrayList<>(acts.size());
        acts.forEach(act -> sorted.add(act.act));
        return sorted;
    }

    private static boolean isNewest(long order, List<Placed> acts) {
        for (Placed act : acts) {
            if (act.order > order) {
                return false;
            }
        }
        return true;
    }

    /** One that went to another state has set its angle there. */
    private Optional<Whereabouts.Act> act(int t, Memory at) {
        String angle = Objects.requireNonNull(chart.angleName(chart.transitionAngle[t]));
        if (chart.targets[t].length > 0) {
            int target = chart.firstTarget(t);
            return at.active.get(target)
                    ? Optional.of(new Whereabouts.Act(angle, chart.states[target].name(), null))
                    : Optional.empty();
        }
        String by = at.detourEvent[t] < 0 ? null : chart.eventName(at.detourEvent[t]);
        Whereabouts.Detour detour = new Whereabouts.Detour(words(t), by, at.detourDue[t]);
        return Optional.of(new Whereabouts.Act(angle, chart.states[chart.source[t]].name(), detour));
    }

    /** What tells a detour from the others of its state. */
    private String words(int t) {
        String known = words[t];
        if (known == null) {
            known = worded(t);
            words[t] = known;
        }
        return known;
    }

    private String worded(int t) {
        String plain = plainWords(t);
        long same = Arrays.stream(chart.transitionsOf[chart.source[t]])
                .takeWhile(other -> other != t)
                .filter(other -> plainWords(other).equals(plain))
                .count();
        return same == 0 ? plain : plain + " #" + (same + 1);
    }

    private String plainWords(int t) {
        TransitionNode node = chart.transitions[t];
        Stream<String> time = node.untilNanos() < 0 ? Stream.of() : Stream.of(node.untilNanos() / 1_000_000 + "ms");
        String until = Stream.concat(node.untilEvents().stream(), time).collect(Collectors.joining(", "));
        String on = node.events().isEmpty() ? "" : "on " + String.join(", ", node.events()) + " ";
        return on + "until " + until;
    }

    /** The states of the bearings that are here, too; histories are none. */
    List<Integer> known(Whereabouts standing) {
        return standing.active().stream()
                .map(chart::stateNumber)
                .filter(s -> s > 0 && !chart.isHistory(s))
                .toList();
    }

    /**
     * Stands there: its states are active without being entered, what is not here any more is left out.
     *
     * @return all states that have to be active
     */
    BitSet find(Whereabouts standing, Step step, long now) {
        memory.take = standing.take();
        memory.takeBegan = standing.began();
        memory.chapter = standing.chapter();
        memory.active.set(0);
        for (int v = 0; v < memory.data.length; v++) {
            String text = standing.values().get(chart.variable(v).name());
            Object value = text == null ? null : chart.variable(v).read(text);
            memory.data[v] = value == null ? memory.data[v] : value;
        }
        List<Integer> wanted = known(standing);
        BitSet configuration = Succession.configuration(chart, wanted);
        wanted.stream().filter(configuration::get).forEach(step::goOnIn);
        Whereabouts.@Nullable Act home = standing.acts().stream()
                .filter(act -> act.detour() == null)
                .reduce((older, newer) -> newer)
                .orElse(null);
        for (Whereabouts.Act act : standing.acts()) {
            repeat(act, act.equals(home), now);
        }
        return configuration;
    }

    private void repeat(Whereabouts.Act act, boolean isHome, long now) {
        int angle = chart.angleNumber(act.angle());
        int state = act.state() == null ? NONE : chart.stateNumber(act.state());
        boolean isActive = state >= 0 && memory.active.get(state);
        Whereabouts.Detour detour = act.detour();
        if (detour != null && isActive) {
            Arrays.stream(chart.transitionsOf[state])
                    .filter(t -> chart.transitions[t].isDetour() && chart.targets[t].length == 0)
                    .filter(t -> chart.transitionAngle[t] == angle && words(t).equals(detour.words()))
                    .findFirst()
                    .ifPresent(t -> open(t, detour, now));
        } else if (detour == null && angle >= 0 && (isActive || isHome)) {
            onAir.setAgain(angle, isActive ? state : NONE);
        }
    }

    private void open(int t, Whereabouts.Detour detour, long now) {
        if (detour.due() > now) {
            memory.open(t);
            memory.detourDue[t] = detour.due();
            memory.detourEvent[t] = detour.by() == null ? NONE : chart.event(detour.by());
        }
    }
}
