package instep.daemon;

import instep.config.Settings;
import instep.desk.Snapshot;
import instep.desk.Tallies;
import instep.gesture.Contact;
import instep.input.PedalSettings;
import java.util.HashSet;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Set;

/** Which pedal units are there and which of their contacts are closed, as the records tell it. Journal thread only. */
final class DeskPedals {
    private static final String UP = "up";

    private final List<Contact> contacts;
    /** By the name of the unit: {@code up}, {@code absent}, {@code denied}, or empty if nothing was told. */
    private final Map<String, String> states = new LinkedHashMap<>();

    private final Set<String> closed = new HashSet<>();

    DeskPedals(Settings settings) {
        contacts = settings.contacts();
        settings.pedals().stream().map(PedalSettings::name).forEach(name -> states.put(name, ""));
    }

    /** Of another configuration; what is known of units and contacts that were there before is still known. */
    DeskPedals(Settings settings, DeskPedals before) {
        this(settings);
        states.replaceAll((name, none) -> before.states.getOrDefault(name, none));
        closed.addAll(before.closed);
        closed.retainAll(contacts.stream().map(Contact::fullName).toList());
    }

    /** A contact closed or opened. */
    void edge(String contact, boolean isClosed) {
        if (isClosed) {
            closed.add(contact);
        } else {
            closed.remove(contact);
        }
    }

    /** A unit came, went or cannot be used. */
    void device(String pedal, String state) {
        states.put(pedal, state);
    }

    List<Snapshot.Pedal> pedals() {
        return states.entrySet().stream()
                .map(unit -> new Snapshot.Pedal(
                        unit.getKey(), words(unit.getValue()), fine(unit.getValue()), of(unit.getKey())))
                .toList();
    }

    List<Tallies.Unit> units() {
        return states.entrySet().stream()
                .filter(unit -> !unit.getValue().isEmpty())
                .map(unit -> new Tallies.Unit(unit.getKey(), unit.getValue().equals(UP)))
                .toList();
    }

    private static boolean fine(String state) {
        return state.isEmpty() || state.equals(UP);
    }

    private static String words(String state) {
        return switch (state) {
            case "absent" -> "not there";
            case "denied" -> "cannot be read";
            case UP -> "there";
            default -> "";
        };
    }

    private List<Snapshot.Contact> of(String pedal) {
        return contacts.stream()
                .filter(contact -> contact.pedal().equals(pedal))
                .map(contact -> new Snapshot.Contact(contact.name(), closed.contains(contact.fullName())))
                .toList();
    }
}
