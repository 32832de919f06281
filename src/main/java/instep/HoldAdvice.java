package instep;

import instep.gesture.Contact;
import instep.gesture.GestureKind;
import instep.machine.Chart;
import instep.machine.StateNode;
import instep.machine.TransitionNode;
import instep.time.Durations;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import java.util.stream.IntStream;
import java.util.stream.Stream;

/** How long one press lasts, and what it does meanwhile that is hardly meant: a sentence for each. */
final class HoldAdvice {
    private static final String HOLD = "." + GestureKind.HOLD.word();

    private final Chart chart;
    private final EventWords words;
    private final List<String> sentences = new ArrayList<>();

    private HoldAdvice(Chart chart, List<Contact> contacts) {
        this.chart = chart;
        words = new EventWords(contacts);
    }

    /** A hold that something listens to. */
    private record Hold(TransitionNode transition, String event, long nanos) {}

    static List<String> of(Chart chart, List<Contact> contacts) {
        HoldAdvice advice = new HoldAdvice(chart, contacts);
        for (int state = 0; state < chart.stateCount(); state++) {
            for (Contact contact : contacts) {
                advice.besideTap(state, contact);
                advice.afterAnother(state, contact);
            }
        }
        return List.copyOf(advice.sentences);
    }

    /** A tap ends at the contact's own threshold, however long the shortest hold that is bound takes. */
    private void besideTap(int state, Contact contact) {
        List<String> events = around(state)
                .flatMap(s -> chart.state(s).transitions().stream())
                .flatMap(transition -> transition.events().stream())
                .toList();
        boolean isPlain = Stream.of(GestureKind.HOLD, GestureKind.HOLD_END)
                .anyMatch(kind -> events.contains(contact.fullName() + "." + kind.word()));
        if (isPlain || !events.contains(contact.fullName() + "." + GestureKind.TAP.word())) {
            return;
        }
        Optional<Hold> shortest =
                around(state).flatMap(s -> holds(s, contact)).min(Comparator.comparingLong(Hold::nanos));
        shortest.filter(hold -> chart.state(state).transitions().contains(hold.transition()))
                .ifPresent(hold -> gap(contact, hold));
    }

    private void gap(Contact contact, Hold hold) {
        long tapEnds = contact.timing().hold();
        String name = "\"" + words.shortName(contact.fullName()) + "\"";
        String tap = words.shortName(contact.fullName() + "." + GestureKind.TAP.word());
        String longer = words.shortName(hold.event());
        String cure = "give the contact hold: " + hold.event().substring((contact.fullName() + HOLD + " ").length())
                + " and write " + words.shortName(contact.fullName() + HOLD)
                + ", here and wherever else it is held";
        if (hold.nanos() > tapEnds) {
            sentences.add(hold.transition().place() + ": let go between " + Durations.ofNanos(tapEnds) + " and "
                    + Durations.ofNanos(hold.nanos()) + ", " + name + " does nothing: it is no " + tap
                    + " any more and no " + longer + " yet. To close the gap, " + cure);
        } else if (hold.nanos() < tapEnds) {
            sentences.add(hold.transition().place() + ": let go between " + Durations.ofNanos(hold.nanos()) + " and "
                    + Durations.ofNanos(tapEnds) + ", " + name + " does both: it is a " + longer
                    + " already and still a " + tap + ". To have one or the other, " + cure);
        }
    }

    /** A foot that stays down makes the longer hold as well, in the state to which the shorter one has led. */
    private void afterAnother(int state, Contact contact) {
        holds(state, contact)
                .filter(first -> first.transition().afterNanos() < 0)
                .forEach(first -> entered(state, first.transition()).stream()
                        .flatMap(s -> holds(s, contact))
                        .filter(second -> second.nanos() > first.nanos() && acts(second.transition()))
                        .forEach(second -> both(first, second)));
    }

    private void both(Hold first, Hold second) {
        sentences.add(second.transition().place() + ": one long press does both: after "
                + Durations.ofNanos(first.nanos()) + " it is " + words.shortName(first.event()) + " (line "
                + first.transition().place().line() + "), and if the foot stays down, after "
                + Durations.ofNanos(second.nanos()) + " " + words.shortName(second.event())
                + " as well. If it is to do one thing, take a tap or another contact for the other");
    }

    private static boolean acts(TransitionNode transition) {
        return !transition.targets().isEmpty() || !transition.actions().isEmpty();
    }

    /** The states that are active after it and were not before, as far as that is certain. */
    private Set<Integer> entered(int source, TransitionNode transition) {
        Set<Integer> before = new LinkedHashSet<>(around(source).toList());
        Set<Integer> entered = new LinkedHashSet<>();
        for (String target : transition.targets()) {
            int number = chart.stateNumber(target);
            around(number).filter(s -> !before.contains(s) || s == number).forEach(entered::add);
            initials(number).forEach(entered::add);
        }
        return entered;
    }

    private Stream<Integer> initials(int state) {
        StateNode node = chart.state(state);
        String initial = node.initial();
        List<StateNode> children = node.children();
        if (children.isEmpty()) {
            return Stream.of();
        }
        int first = chart.stateNumber(initial == null ? children.get(0).name() : initial);
        return Stream.concat(Stream.of(first), initials(first));
    }

    private Stream<Hold> holds(int state, Contact contact) {
        String plain = contact.fullName() + HOLD;
        return chart.state(state).transitions().stream()
                .flatMap(transition -> transition.events().stream()
                        .filter(event -> event.equals(plain) || event.startsWith(plain + " "))
                        .map(event -> new Hold(transition, event, nanos(event, contact))));
    }

    private long nanos(String event, Contact contact) {
        return chart.gestures().namedHolds().stream()
                .filter(hold -> event.endsWith("." + hold.words()))
                .mapToLong(hold -> hold.nanos())
                .findFirst()
                .orElse(contact.timing().hold());
    }

    /** The state and those around it. */
    private Stream<Integer> around(int state) {
        return IntStream.iterate(state, s -> s >= 0, chart::parentOf).boxed();
    }
}
