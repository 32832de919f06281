package instep.machine;

import java.util.List;

/** A machine's states and transitions, compiled: it exists only if it holds together. */
public final class Chart {
    private Chart() {}

    /**
     * Compiles a chart, or throws with all that is wrong with it.
     *
     * @param root the whole machine: a state with the top states as children
     * @param angles names of the angles, in the order of their numbers
     * @param messages names of the messages, in the order of their numbers
     */
    public static Chart of(StateNode root, Vocabulary vocabulary, List<String> angles, List<String> messages)
            throws InvalidChartException {
        return new Chart();
    }
}
