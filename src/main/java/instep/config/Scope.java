package instep.config;

import instep.machine.Place;
import instep.machine.Variable;
import java.util.Collection;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Set;

/**
 * What the sections of a configuration know of each other while they are read: what is declared, whether or not it could be read in
 * full.
 *
 * @param transports by the name of the gear; one that could not be read is missing
 * @param replies what the gear's replies bring into being
 */
record Scope(
        Scalars scalars,
        Names gear,
        Names angles,
        Names messages,
        Names states,
        Names contacts,
        Map<String, Transport> transports,
        Replies replies,
        Doubts doubts) {
    /**
     * What comes into being because gear says something.
     *
     * @param variables and what they are before that
     */
    record Replies(Set<String> events, Map<String, Object> variables) {}

    /** The place of names that are declared by no line of the file. */
    static final Place NOWHERE = new Place("", 1, 1);

    /** Words that a condition begins a line with, so that no value could be asked for by them. */
    static final List<String> CONDITIONS = List.of("in", "not", "any", "all");

    Scope(Scalars scalars) {
        this(
                scalars,
                new Names("gear"),
                new Names("angle"),
                new Names("message"),
                new Names("state"),
                new Names("contact or gear"),
                new HashMap<>(),
                new Replies(new LinkedHashSet<>(), new LinkedHashMap<>()),
                new Doubts());
    }

    Faults faults() {
        return scalars.faults();
    }

    /** Declares the values that there are: those of the machine, one for each gear, and the variables. */
    void declareValues(Collection<String> variables) {
        Variable.READ_ONLY.forEach(name -> scalars.values().declare(name, NOWHERE));
        gear.all().forEach(name -> scalars.values().declare(name, NOWHERE));
        replies.variables().keySet().forEach(name -> scalars.values().declare(name, NOWHERE));
        variables.forEach(name -> scalars.values().declare(name, NOWHERE));
    }

    /** Whether a value may bear the name; if not, that is said. */
    boolean isFree(Node.Entry value) {
        String name = value.name();
        if (Variable.READ_ONLY.contains(name)) {
            return taken(value, "is a value that is there already");
        } else if (gear.has(name)) {
            return taken(value, "is already the name of gear, which has a value of its own (up or down)");
        } else if (CONDITIONS.contains(name)) {
            return taken(value, "is a word of conditions");
        }
        return true;
    }

    private boolean taken(Node.Entry value, String why) {
        faults().add(value.place(), Words.quote(value.name()) + " " + why + "; expected another name");
        return false;
    }

    /** From now on anything may exist: a section is missing for a reason that has been given. */
    void leaveOpen() {
        gear.leaveOpen();
        angles.leaveOpen();
        messages.leaveOpen();
        contacts.leaveOpen();
        scalars.values().leaveOpen();
    }

    /** Says what was referred to in vain. */
    void reportMissing() {
        gear.report(faults());
        angles.report(faults());
        messages.report(faults());
        states.report(faults());
        contacts.report(faults());
        scalars.values().report(faults());
    }
}
