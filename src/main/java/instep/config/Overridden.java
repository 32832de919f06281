package instep.config;

import instep.machine.Place;
import org.jspecify.annotations.Nullable;

/**
 * A value that a later file gave in place of an earlier one's, for a person.
 *
 * @param path the keys that lead to it
 * @param place where it stands
 * @param value what it is now; empty if it was taken away
 * @param placeBefore where it stood before; null: it is new
 * @param before what it was; empty if it is new
 */
public record Overridden(
        String path, Place place, String value, @Nullable Place placeBefore, String before) {}
