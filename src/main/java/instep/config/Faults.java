package instep.config;

import instep.config.ConfigException.Fault;
import instep.machine.Place;
import java.util.Comparator;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Set;

/** All that is found wrong while a configuration is read. The same fault at the same place counts once. */
final class Faults {
    /** With more faults than this nobody reads guesses or lines, and making them would take longer than reading. */
    private static final int GUESSES = 200;

    private final Sources sources;
    private final Set<Fault> faults = new LinkedHashSet<>();

    Faults(SourceText source) {
        this(new Sources(List.of(source)));
    }

    Faults(Sources sources) {
        this.sources = sources;
    }

    /** Whether it is in the first file, the one that others lie over. */
    boolean isInFirst(Place place) {
        return sources.order(place) == 0;
    }

    void add(Place place, String text) {
        faults.add(new Fault(place, text, mayGuess() ? sources.excerpt(place) : ""));
    }

    /** Whether there is one on that line. */
    boolean isOn(Place place) {
        return faults.stream()
                .map(Fault::place)
                .anyMatch(p -> p.line() == place.line() && p.file().equals(place.file()));
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

    /** In the order of the files. */
    List<Fault> inOrder() {
        return faults.stream()
                .sorted(Comparator.comparing((Fault f) -> sources.order(f.place()))
                        .thenComparing(f -> f.place().line())
                        .thenComparing(f -> f.place().column()))
                .toList();
    }
}
