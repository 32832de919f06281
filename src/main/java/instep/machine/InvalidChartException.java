package instep.machine;

import java.util.List;
import java.util.stream.Collectors;

/** A chart that does not hold together; every fault of it is named. */
public final class InvalidChartException extends Exception {
    /** What a fault is about. */
    public enum Concern {
        /** A name that stands for nothing, or is taken. */
        NAMES,
        /** How states, histories and targets lie in each other. */
        STATES,
        /** What values can be. */
        VALUES
    }

    /** One fault and where it was written. */
    public record Fault(Place place, Concern concern, String text) {}

    private final transient List<Fault> faults;

    public InvalidChartException(List<Fault> faults) {
        super(faults.stream().map(f -> f.place() + ": " + f.text()).collect(Collectors.joining("\n")));
        this.faults = List.copyOf(faults);
    }

    /** All faults, in document order. */
    public List<Fault> faults() {
        return faults;
    }
}
