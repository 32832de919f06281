package instep.advice;

import instep.config.AngleSettings;
import instep.config.Settings;
import instep.gear.Message;
import instep.gesture.Contact;
import instep.input.PedalSettings;
import instep.machine.Chart;
import instep.machine.Cond;
import instep.machine.Place;
import instep.machine.StateNode;
import instep.machine.TransitionNode;
import java.util.ArrayDeque;
import java.util.ArrayList;
import java.util.BitSet;
import java.util.Deque;
import java.util.List;
import java.util.stream.IntStream;

/** What is allowed in a configuration but is hardly meant: a sentence for each, with its place where it has one. */
public final class CheckAdvice {
    private final Settings settings;
    private final Chart chart;
    private final BitSet reached;
    private final List<String> sentences = new ArrayList<>();

    private CheckAdvice(Settings settings) {
        this.settings = settings;
        this.chart = settings.chart();
        reached = reachableFrom(0);
    }

    public static List<String> of(Settings settings) {
        CheckAdvice advice = new CheckAdvice(settings);
        advice.states();
        advice.shadows();
        advice.hidden();
        advice.idle();
        advice.sentences.addAll(HoldAdvice.of(settings.chart()));
        advice.sentences.addAll(GestureAdvice.of(settings.chart(), settings.contacts()));
        advice.sentences.addAll(RollingAdvice.of(settings.chart()));
        advice.sentences.addAll(RaisedCircles.of(settings.chart()));
        advice.contacts();
        advice.angles();
        advice.gear();
        return List.copyOf(advice.sentences);
    }

    private void states() {
        int home = initialState();
        for (int s = 1; s < chart.stateCount(); s++) {
            StateNode state = chart.state(s);
            if (!reached.get(s)) {
                sentences.add(state.place() + ": nothing leads to the state \"" + state.name() + "\"");
            } else if (isLeaf(s) && !reachableFrom(s).get(home)) {
                sentences.add(state.place() + ": from \"" + state.name() + "\" there is no way back to \""
                        + chart.state(home).name() + "\"");
            }
        }
    }

    private int initialState() {
        String initial = chart.state(0).initial();
        return initial == null ? 1 : chart.stateNumber(initial);
    }

    private boolean isLeaf(int state) {
        return chart.state(state).children().isEmpty() && chart.state(state).kind() == StateNode.Kind.STATE;
    }

    /** States that can become active after that one was; conditions are taken to hold at some time. */
    private BitSet reachableFrom(int start) {
        BitSet found = new BitSet();
        Deque<Integer> open = new ArrayDeque<>();
        enter(start, found, open);
        while (!open.isEmpty()) {
            int state = open.remove();
            for (int s = state; s >= 0; s = chart.parentOf(s)) {
                enterAround(s, found, open);
                for (TransitionNode transition : chart.state(s).transitions()) {
                    transition.targets().forEach(target -> enter(chart.stateNumber(target), found, open));
                }
                detoursTo(chart.state(s).name()).forEach(source -> enter(source, found, open));
            }
        }
        return found;
    }

    /** From where a detour leads to the state; there it returns to. */
    private IntStream detoursTo(String state) {
        return IntStream.range(0, chart.stateCount())
                .filter(source -> chart.state(source).transitions().stream()
                        .anyMatch(transition ->
                                transition.isDetour() && transition.targets().contains(state)));
    }

    private void enterAround(int state, BitSet found, Deque<Integer> open) {
        if (!found.get(state)) {
            found.set(state);
            open.add(state);
        }
    }

    /** A state, what it begins in, and the regions beside it. */
    private void enter(int state, BitSet found, Deque<Integer> open) {
        if (found.get(state)) {
            return;
        }
        found.set(state);
        open.add(state);
        StateNode node = chart.state(state);
        if (node.kind() == StateNode.Kind.PARALLEL) {
            node.children().forEach(child -> enter(chart.stateNumber(child.name()), found, open));
        } else if (node.initial() != null) {
            enter(chart.stateNumber(node.initial()), found, open);
        } else if (!node.children().isEmpty()) {
            enter(chart.stateNumber(node.children().get(0).name()), found, open);
        }
    }

    /** An earlier transition without condition takes every event that a later one of the same state waits for. */
    private void shadows() {
        for (int s = 0; s < chart.stateCount(); s++) {
            List<TransitionNode> transitions = chart.state(s).transitions();
            for (int later = 1; later < transitions.size(); later++) {
                TransitionNode shadowed = transitions.get(later);
                transitions.subList(0, later).stream()
                        .filter(earlier -> takesAll(earlier, shadowed))
                        .findFirst()
                        .ifPresent(earlier -> sentences.add(shadowed.place()
                                + ": this is never taken, since "
                                + line(earlier.place(), shadowed.place())
                                + " takes the same event first"));
            }
        }
    }

    /** What a state around listens to, but never hears, since each of those inside takes it. */
    private void hidden() {
        for (int s = 1; s < chart.stateCount(); s++) {
            int outer = s;
            List<Integer> inside = IntStream.range(0, chart.stateCount())
                    .filter(state -> state != outer && chart.around(state).anyMatch(around -> around == outer))
                    .boxed()
                    .toList();
            List<Integer> leaves = inside.stream().filter(this::isLeaf).toList();
            boolean isPlain =
                    inside.stream().noneMatch(state -> chart.state(state).kind() == StateNode.Kind.PARALLEL);
            if (leaves.size() > 1 && isPlain && chart.state(s).kind() == StateNode.Kind.STATE) {
                chart.state(s).transitions().stream()
                        .filter(transition -> !transition.events().isEmpty())
                        .filter(transition -> leaves.stream().allMatch(leaf -> isTakenWithin(leaf, outer, transition)))
                        .forEach(transition -> sentences.add(transition.place()
                                + ": this is never taken, since each state inside \""
                                + chart.state(outer).name()
                                + "\" takes the same event first"));
            }
        }
    }

    private boolean isTakenWithin(int leaf, int outer, TransitionNode transition) {
        return chart.around(leaf)
                .takeWhile(state -> state != outer)
                .flatMap(state -> chart.state(state).transitions().stream())
                .anyMatch(inner -> takesAll(inner, transition));
    }

    /** A line that does nothing; where one of a state around takes the same event, it keeps that from doing it, and is meant. */
    private void idle() {
        for (int s = 0; s < chart.stateCount(); s++) {
            for (TransitionNode transition : chart.state(s).transitions()) {
                boolean hides = chart.around(s)
                        .skip(1)
                        .flatMap(outer -> chart.state(outer).transitions().stream())
                        .anyMatch(outer -> outer.events().stream().anyMatch(transition.events()::contains));
                if (!transition.acts() && !hides) {
                    sentences.add(transition.place()
                            + ": this does nothing: it has no target, no angle, and no send, mark, set or raise");
                }
            }
        }
    }

    private static String line(Place place, Place here) {
        return "line " + place.line() + (place.file().equals(here.file()) ? "" : " of " + place.file());
    }

    private static boolean takesAll(TransitionNode earlier, TransitionNode later) {
        return earlier.cond().equals(Cond.ALWAYS)
                && !later.events().isEmpty()
                && later.events().stream()
                        .allMatch(event -> earlier.events().stream().anyMatch(taken -> covers(taken, event)));
    }

    /** Whether events of that name match (SCXML 3.12.1). */
    static boolean covers(String descriptor, String event) {
        return descriptor.equals("*") || event.equals(descriptor) || event.startsWith(descriptor + ".");
    }

    private void contacts() {
        for (int i = 0; i < settings.contacts().size(); i++) {
            int contact = i;
            boolean heard = IntStream.range(0, chart.gestures().count())
                    .anyMatch(gesture -> chart.gestures().contact(gesture) == contact && chart.isHeard(gesture));
            if (!heard && !isInChord(contact) && !isSent(contact)) {
                Contact unused = settings.contacts().get(contact);
                sentences.add("the contact \"" + unused.fullName() + "\" does nothing in any state");
            }
        }
    }

    private boolean isSent(int contact) {
        return settings.pedals().stream()
                .anyMatch(pedal -> (pedal instanceof PedalSettings.Events events
                                && events.axes().stream()
                                        .anyMatch(axis -> axis.contact() == contact && axis.moves() != null))
                        || (pedal instanceof PedalSettings.Reports reports
                                && reports.usages().stream()
                                        .anyMatch(usage -> usage.contact() == contact && usage.moves() != null))
                        || (pedal instanceof PedalSettings.Network network
                                && network.contacts().stream()
                                        .anyMatch(one -> one.contact() == contact && one.moves() != null))
                        || (pedal instanceof PedalSettings.Midi midi
                                && midi.contacts().stream()
                                        .anyMatch(one -> one.contact() == contact && one.moves() != null)));
    }

    private boolean isInChord(int contact) {
        return chart.gestures().chords().stream()
                .anyMatch(chord -> chord.members().contains(contact));
    }

    private void angles() {
        for (AngleSettings angle : settings.angles()) {
            boolean used = IntStream.range(0, chart.stateCount())
                    .filter(reached::get)
                    .mapToObj(chart::state)
                    .anyMatch(state -> angle.name().equals(state.angle())
                            || state.transitions().stream()
                                    .anyMatch(transition -> angle.name().equals(transition.angle())));
            if (!used) {
                sentences.add("no gesture puts the angle \"" + angle.name() + "\" on air");
            }
        }
    }

    private void gear() {
        for (int i = 0; i < settings.gear().size(); i++) {
            int gear = i;
            boolean told = settings.angles().stream().anyMatch(angle -> isTold(angle.cut(), gear))
                    || settings.messages().stream().anyMatch(message -> isTold(message, gear));
            if (!told && settings.listening().get(gear).replies().isEmpty()) {
                sentences.add("the gear \"" + settings.gear().get(gear).name() + "\" is never told anything");
            }
        }
    }

    private static boolean isTold(Message message, int gear) {
        return message.steps().stream().anyMatch(step -> step.gear() == gear);
    }
}
