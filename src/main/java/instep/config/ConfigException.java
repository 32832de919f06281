package instep.config;

import instep.machine.Place;
import java.util.List;
import java.util.stream.Collectors;

/** A configuration that cannot be used; every fault is named at its place. */
public final class ConfigException extends Exception {
    /**
     * One fault.
     *
     * @param text what was found, what was expected and, where one is near, the word that was probably meant
     * @param excerpt the line of the file with a caret below the place; may be empty
     */
    public record Fault(Place place, String text, String excerpt) {
        @Override
        public String toString() {
            return place + ": " + text + (excerpt.isEmpty() ? "" : "\n" + excerpt);
        }
    }

    private final transient List<Fault> faults;

    public ConfigException(List<Fault> faults) {
        super(faults.stream().map(Fault::toString).collect(Collectors.joining("\n")));
        this.faults = List.copyOf(faults);
    }

    /** All faults, in the order of the file. */
    public List<Fault> faults() {
        return faults;
    }
}
