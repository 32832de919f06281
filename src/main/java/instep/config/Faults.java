package instep.config;

import instep.config.ConfigException.Fault;
import instep.machine.Place;
import java.util.Comparator;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Set;

/** All that is found wrong while a configuration is read. The same fault at the same place counts once. */
final class Faults {
    /** With more faults than this nobody reads guesses, and guessing would take longer than reading. */
    private static final int GUESSES = 200;

    private final SourceText source;
    private final Set<Fault> faults = new LinkedHashSet<>();

    Faults(SourceText source) {
        this.source = source;
    }

    void add(Place place, String text) {
        faults.add(new Fault(place, text, source.excerpt(place)));
    }

    int count() {
        return faults.size();
    }

    boolean isEmpty() {
        return faults.isEmpty();
    }

    /** Whether it is worth while to look for the word that was meant. */
    boolean mayGuess() {
        return faults.size() < GUESSES;
    }

    /** In the order of the file. */
    List<Fault> inOrder() {
        return faults.stream()
                .sorted(Comparator.comparing((Fault f) -> f.place().line())
                        .thenComparing(f -> f.place().column()))
                .toList();
    }
}
