package instep.config;

import instep.machine.Place;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;

/**
 * The names of one kind of thing that a configuration declares, and the references to names that it does not. A name that is missing
 * is one fault, however often it is used.
 */
final class Names {
    private final String what;
    private final Map<String, Place> declared = new LinkedHashMap<>();
    private final Map<String, List<Place>> missing = new LinkedHashMap<>();
    private boolean open;

    /** Names of things of which {@code what} is the word for one. */
    Names(String what) {
        this.what = what;
    }

    /** Declares a name; gives the place where it had been declared before. */
    Optional<Place> declare(String name, Place place) {
        return Optional.ofNullable(declared.putIfAbsent(name, place));
    }

    /** From now on any name may exist: what declares them could not be read, and that has been said already. */
    void leaveOpen() {
        open = true;
    }

    /** Whether there is something of that name so far. */
    boolean has(String name) {
        return declared.containsKey(name);
    }

    /** Whether there is something of that name so far; if there never is, it will be reported. */
    boolean refer(String name, Place place) {
        if (declared.containsKey(name)) {
            return true;
        }
        missing.computeIfAbsent(name, n -> new ArrayList<>()).add(place);
        return false;
    }

    /** The names that were referred to and have not been declared; none while any name may exist. */
    Set<String> missing() {
        Set<String> names = new LinkedHashSet<>(missing.keySet());
        names.removeAll(declared.keySet());
        return open ? Set.of() : names;
    }

    /** All names in the order of the file. */
    List<String> all() {
        return List.copyOf(declared.keySet());
    }

    /** Which of the names it is, counted from 0. */
    int number(String name) {
        return all().indexOf(name);
    }

    /** Says what was referred to in vain. */
    void report(Faults faults) {
        for (String name : missing()) {
            List<Place> places = missing.getOrDefault(name, List.of());
            List<Place> others = places.stream().skip(1).toList();
            faults.add(
                    places.get(0),
                    "unknown " + what + " " + Words.quote(name)
                            + (others.isEmpty()
                                    ? ""
                                    : " (also on "
                                            + Words.lines(others, places.get(0).file()) + ")")
                            + (declared.isEmpty() ? "; there is none" : Words.hint(name, declared.keySet(), faults)));
        }
    }
}
