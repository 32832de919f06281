package instep.machine;

import java.util.List;
import java.util.Map;
import org.jspecify.annotations.Nullable;

/**
 * Where a machine stands once no foot is on any pedal, in names: enough to go on from there in another process, and with another chart.
 *
 * @param active the active states, from the outermost inwards
 * @param acts what asks for an angle, the oldest first: the last one is on air
 * @param latched contacts and chords whose next press is a {@code latch-off}, of those for which that matters
 * @param began when the take began, in the time of the machine that told it
 * @param values what the mapping keeps, by name, as text
 */
public record Whereabouts(
        List<String> active,
        List<Act> acts,
        List<String> latched,
        long take,
        long began,
        long chapter,
        Map<String, String> values) {
    public Whereabouts {
        active = List.copyOf(active);
        acts = List.copyOf(acts);
        latched = List.copyOf(latched);
        values = Map.copyOf(values);
    }

    /** The same, told in another time: all that it tells of was, or is to be, so many nanoseconds later in it. */
    public Whereabouts shifted(long nanos) {
        List<Act> later = acts.stream().map(act -> act.shifted(nanos)).toList();
        return new Whereabouts(active, later, latched, take, began + nanos, chapter, values);
    }

    /**
     * Something that has put an angle on air and has not ended.
     *
     * @param state the state in which that was; null: in none, somebody else has cut to it
     * @param detour the detour that did it; null: none, it lasts until another such act or the end of its state
     */
    public record Act(
            String angle, @Nullable String state, @Nullable Detour detour) {
        private Act shifted(long nanos) {
            return detour == null ? this : new Act(angle, state, detour.shifted(nanos));
        }
    }

    /**
     * A detour that is open.
     *
     * @param words what tells it from the others of its state: on what it begins, until when it lasts
     * @param by the event from outside that began it; null: a time that came
     * @param due when it ends by itself, in the time of the machine that told it; {@link Long#MAX_VALUE}: never
     */
    public record Detour(String words, @Nullable String by, long due) {
        private Detour shifted(long nanos) {
            return due == Long.MAX_VALUE ? this : new Detour(words, by, due + nanos);
        }
    }
}
