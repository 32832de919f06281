package instep.input;

import instep.gesture.Moves;
import instep.gesture.Threshold;
import org.jspecify.annotations.Nullable;

/**
 * A contact that comes over the network.
 *
 * @param contact the number of the contact
 * @param closed what closes it: the address of an OSC message, a line, or the last part of a request's path
 * @param open the line that opens it; null: there is none, and {@code closed} is a step. Lines only
 * @param step the line that closes and opens it at once; null: there is none. Lines only
 * @param threshold what share of 1 the argument of an OSC message has to pass; null: whatever is not 0 closes it
 * @param moves what its positions are sent as; null: they are not
 */
public record NetContact(
        int contact,
        String closed,
        @Nullable String open,
        @Nullable String step,
        @Nullable Threshold threshold,
        @Nullable Moves moves) {
    /** One that bears a name alone: an OSC address, or a part of a path. */
    public static NetContact named(int contact, String name) {
        return new NetContact(contact, name, null, null, null, null);
    }
}
