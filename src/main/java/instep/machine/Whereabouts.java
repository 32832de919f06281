package instep.machine;

import java.util.List;
import java.util.Map;
import org.jspecify.annotations.Nullable;

/**
 * Where a machine stands, in names: enough to go on from there in another process, and with another chart. What only an open detour holds is not part of it.
 *
 * @param active the active states, from the outermost inwards
 * @param angle what is on air when no detour is open; null: nothing
 * @param angleOf the state in which that was set; null: in none, somebody else has cut to it
 * @param values what the mapping keeps, by name, as text
 */
public record Whereabouts(
        List<String> active,
        @Nullable String angle,
        @Nullable String angleOf,
        long take,
        long chapter,
        Map<String, String> values) {
    public Whereabouts {
        active = List.copyOf(active);
        values = Map.copyOf(values);
    }
}
