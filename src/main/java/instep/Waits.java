package instep;

import instep.gesture.Contact;
import instep.gesture.GestureKind;
import instep.machine.Chart;
import instep.time.Durations;
import java.util.Arrays;
import java.util.HashSet;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import java.util.stream.IntStream;
import java.util.stream.Stream;

/** When a gesture is known where it is bound, and what it waits for there, in words. */
final class Waits {
    private final Chart chart;
    private final EventWords words;

    Waits(Chart chart, EventWords words) {
        this.chart = chart;
        this.words = words;
    }

    /** The time of an event, by its full name, in a state. */
    String of(String event, int state) {
        int number = chart.event(event);
        if (number < 0 || number >= chart.gestures().count()) {
            return "at once";
        }
        Contact contact = chart.gestures().contacts().get(chart.gestures().contact(number));
        String source = source(event);
        String kind = event.substring(source.length() + 1);
        String known = known(kind, source, contact, state);
        Optional<String> chord = isPress(kind) ? chordAround(source, state) : Optional.empty();
        return chord.map(wider -> "waits up to 60 ms for " + words.shortName(wider))
                .orElse(known);
    }

    private String known(String kind, String source, Contact contact, int state) {
        boolean several = source.contains("+");
        String down = several ? "when all are down for " : "when down for ";
        if (kind.startsWith(GestureKind.HOLD.word() + " ")) {
            return down + kind.substring(GestureKind.HOLD.word().length() + 1);
        } else if (kind.equals(GestureKind.HOLD.word())) {
            return down + Durations.ofNanos(contact.timing().hold());
        } else if (kind.equals(GestureKind.TAP.word())) {
            return taps(source, contact, state, GestureKind.DOUBLE_TAP, GestureKind.TRIPLE_TAP)
                    .orElse("when let go within "
                            + Durations.ofNanos(contact.timing().hold()));
        } else if (kind.equals(GestureKind.DOUBLE_TAP.word())) {
            return taps(source, contact, state, GestureKind.TRIPLE_TAP).orElse("at once");
        } else if (kind.equals(GestureKind.RELEASE.word()) && contact.timing().liftGrace() > 0) {
            return "waits " + Durations.ofNanos(contact.timing().liftGrace()) + " (lift-grace)";
        }
        return several && isPress(kind) ? "when all are down" : "at once";
    }

    /** A tap is known only when no further one can follow that something listens to. */
    private Optional<String> taps(String source, Contact contact, int state, GestureKind... further) {
        return Arrays.stream(further)
                .filter(kind -> around(state).anyMatch((source + "." + kind.word())::equals))
                .map(kind -> "waits " + Durations.ofNanos(contact.timing().doubleTap()) + " for a " + kind.word())
                .findFirst();
    }

    /** What begins with the closing. */
    private static boolean isPress(String kind) {
        return !kind.equals(GestureKind.RELEASE.word())
                && !kind.startsWith(GestureKind.HOLD.word())
                && !kind.equals(GestureKind.TAP.word())
                && !kind.equals(GestureKind.DOUBLE_TAP.word())
                && !kind.equals(GestureKind.TRIPLE_TAP.word());
    }

    /** A chord of more contacts, bound in the state or around it: it is waited for. */
    private Optional<String> chordAround(String source, int state) {
        Set<String> members = members(source);
        return around(state)
                .filter(event -> members(source(event)).size() > members.size())
                .filter(event -> members(source(event)).containsAll(members))
                .findFirst();
    }

    private static Set<String> members(String source) {
        return new HashSet<>(List.of(source.split("\\+", -1)));
    }

    /** The contacts before the gesture. A threshold such as "hold 1.5s" has a dot of its own. */
    private static String source(String event) {
        int threshold = event.indexOf(".hold ");
        int end = threshold >= 0 ? threshold : event.lastIndexOf('.');
        return end < 0 ? event : event.substring(0, end);
    }

    private Stream<String> around(int state) {
        return IntStream.iterate(state, s -> s >= 0, chart::parentOf)
                .boxed()
                .flatMap(s -> chart.state(s).transitions().stream())
                .flatMap(transition -> transition.events().stream());
    }
}
