package instep.gesture;

/**
 * One pedal or button, closed or open. Elsewhere it is known by its place in the list of contacts, counted from 0.
 *
 * @param pedal the pedal unit that it belongs to
 * @param name its name there
 */
public record Contact(String pedal, String name, Timing timing) {
    /** The full name, {@code pedal.name}, which no other contact has. */
    public String fullName() {
        return pedal + "." + name;
    }
}
