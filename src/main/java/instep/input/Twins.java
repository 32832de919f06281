package instep.input;

import java.util.List;
import java.util.Optional;

/**
 * The devices that are alike to a pedal unit, and which of them is its own.
 *
 * @param able in the order of their ports
 * @param all pedal units
 */
record Twins(Slot slot, List<DeviceNode> able, List<Slot> all, Ports ports) {
    /**
     * The device to open: the one where it was before; else, if others are missing, the one that {@code which} counted to when they were not; else the one that
     * {@code which} counts to; else, if the unit has been up or nothing is missing, the only one that is free.
     */
    Optional<DeviceNode> own() {
        List<DeviceNode> free = able.stream().filter(this::isFree).toList();
        Optional<DeviceNode> before = at(slot.place(), free);
        if (before.isPresent()) {
            return before;
        }
        if (!areComplete() && slot.place().isEmpty()) {
            Optional<DeviceNode> counted = at(ports.counted(slot.key()), free);
            if (counted.isPresent()) {
                return counted;
            }
        }
        if (slot.which() <= able.size() && free.contains(able.get(slot.which() - 1))) {
            return Optional.of(able.get(slot.which() - 1));
        }
        boolean takesAny = !slot.place().isEmpty() || areComplete();
        return takesAny && free.size() == 1 ? Optional.of(free.get(0)) : Optional.empty();
    }

    /** Whether {@code which} of every unit that matches the same counts to a device; not asked where nobody counts. */
    boolean areComplete() {
        int highest = all.stream()
                .filter(slot::countsWith)
                .mapToInt(Slot::which)
                .max()
                .orElse(1);
        return highest > 1 && able.size() >= highest;
    }

    /** Notes to which ports {@code which} counts, if none of them is missing; says whether that is news. */
    boolean remember() {
        boolean news = false;
        if (areComplete()) {
            for (Slot other : all) {
                news |= slot.countsWith(other) && ports.count(other.key(), Places.of(able.get(other.which() - 1)));
            }
        }
        return news;
    }

    private static Optional<DeviceNode> at(String place, List<DeviceNode> nodes) {
        return nodes.stream()
                .filter(node -> !place.isEmpty() && place.equals(Places.of(node)))
                .findFirst();
    }

    private boolean isFree(DeviceNode node) {
        return all.stream()
                .filter(other -> other != slot && other.readsAs(slot))
                .noneMatch(other -> {
                    if (other.isUp()) {
                        return other.has(node);
                    }
                    String place =
                            other.place().isEmpty() && !areComplete() ? ports.counted(other.key()) : other.place();
                    return !place.isEmpty() && place.equals(Places.of(node)) && other.matches(node);
                });
    }
}
