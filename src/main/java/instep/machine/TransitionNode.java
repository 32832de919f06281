package instep.machine;

import java.util.List;
import org.jspecify.annotations.Nullable;

/**
 * A transition as written.
 *
 * @param place where it was written
 * @param events canonical event descriptors ({@link Vocabulary#canonical}); none: eventless
 * @param targets names of states; none: it stays where it is
 * @param internal whether a target inside the source leaves the source active (SCXML 3.5, {@code type="internal"})
 * @param angle the angle to cut to, or null
 * @param untilEvents canonical descriptors of the events that end the detour; with {@code untilNanos < 0}, none: no detour
 * @param untilNanos after which the detour ends by itself, or -1
 * @param afterNanos how long after its event (eventless: after its state was entered) it is taken, or -1
 */
public record TransitionNode(
        Place place,
        List<String> events,
        List<String> targets,
        boolean internal,
        @Nullable String angle,
        List<String> untilEvents,
        long untilNanos,
        long afterNanos,
        Cond cond,
        List<Action> actions) {
    public TransitionNode {
        events = List.copyOf(events);
        targets = List.copyOf(targets);
        untilEvents = List.copyOf(untilEvents);
        actions = List.copyOf(actions);
    }

    /** Whether it does anything at all. */
    public boolean acts() {
        return !targets.isEmpty() || angle != null || !actions.isEmpty();
    }

    /** Whether it ends by itself and returns. */
    public boolean isDetour() {
        return untilNanos >= 0 || !untilEvents.isEmpty();
    }
}
