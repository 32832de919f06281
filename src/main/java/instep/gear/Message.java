package instep.gear;

import java.util.List;

/** Something said to one or more gear at once: the steps in order. */
public record Message(String name, List<Step> steps) {
    public Message {
        steps = List.copyOf(steps);
    }

    /**
     * What one gear is told.
     *
     * @param gear the number of the gear
     */
    public record Step(int gear, Payload payload) {}
}
