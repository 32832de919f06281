package instep.advice;

import instep.gesture.GestureKind;
import instep.gesture.Gestures;
import instep.gesture.Timing;
import instep.machine.Chart;
import instep.time.Durations;
import java.util.HashSet;
import java.util.Optional;
import java.util.stream.Stream;

/** When a gesture is known where it is bound, and what it waits for there, in words. */
final class Waits {
    private static final String AT_ONCE = "at once";

    private final Chart chart;
    private final Gestures gestures;
    private final EventWords words;

    Waits(Chart chart, EventWords words) {
        this.chart = chart;
        this.gestures = chart.gestures();
        this.words = words;
    }

    /** The time of an event, by its full name, in a state. */
    String of(String event, int state) {
        int gesture = chart.event(event);
        if (gesture < 0 || gesture >= gestures.count()) {
            return AT_ONCE;
        }
        return switch (gestures.kind(gesture)) {
            case HOLD ->
                (isChord(gesture) ? "when all are down for " : "when down for ")
                        + Durations.ofNanos(gestures.holdNanos(gesture));
            case TAP ->
                furtherTap(gesture, state, GestureKind.DOUBLE_TAP, GestureKind.TRIPLE_TAP)
                        .orElse("when let go within "
                                + Durations.ofNanos(timing(gesture).hold()));
            case DOUBLE_TAP ->
                furtherTap(gesture, state, GestureKind.TRIPLE_TAP).orElse(AT_ONCE);
            case RELEASE ->
                timing(gesture).liftGrace() > 0
                        ? "waits " + Durations.ofNanos(timing(gesture).liftGrace()) + " (lift-grace)"
                        : AT_ONCE;
            case PRESS, LATCH_ON, LATCH_OFF ->
                largerChord(gesture, state).orElse(isChord(gesture) ? "when all are down" : AT_ONCE);
            case TRIPLE_TAP, HOLD_END -> AT_ONCE;
        };
    }

    private Timing timing(int gesture) {
        return gestures.contacts().get(gestures.contact(gesture)).timing();
    }

    private boolean isChord(int gesture) {
        return gestures.members(gesture).size() > 1;
    }

    /** A tap is known only when no further one can follow that something listens to. */
    private Optional<String> furtherTap(int gesture, int state, GestureKind... further) {
        return Stream.of(further)
                .filter(kind ->
                        boundAround(state).anyMatch(bound -> bound == gestures.number(gestures.source(gesture), kind)))
                .map(kind -> "waits " + Durations.ofNanos(timing(gesture).doubleTap()) + " for a " + kind.word())
                .findFirst();
    }

    /** A chord of more contacts that is bound, too, is waited for. */
    private Optional<String> largerChord(int gesture, int state) {
        return boundAround(state)
                .filter(bound -> gestures.members(bound).size()
                        > gestures.members(gesture).size())
                .filter(bound -> new HashSet<>(gestures.members(bound)).containsAll(gestures.members(gesture)))
                .map(bound -> "waits up to 60 ms for " + words.shortName(chart.eventName(bound)))
                .findFirst();
    }

    /** The gestures that the state or one around it listens to. */
    private Stream<Integer> boundAround(int state) {
        return chart.around(state)
                .flatMap(s -> chart.state(s).transitions().stream())
                .flatMap(transition -> transition.events().stream())
                .map(chart::event)
                .filter(event -> event >= 0 && event < gestures.count());
    }
}
