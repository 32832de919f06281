package instep.daemon;

import instep.config.Settings;
import instep.gesture.Contact;
import instep.input.InputListener;
import instep.input.PedalSettings;
import instep.input.Performance;
import instep.input.PerformanceException;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.concurrent.CompletableFuture;

/**
 * Plays a performance where a device would be: each edge comes at its time and bears that time, as the kernel's stamp does, however late the loop
 * gets round to it.
 */
public final class Player {
    /** After the last edge, so that what it leads to is over, too. */
    public static final long TAIL_NANOS = 1_500_000_000L;

    private final Performance performance;
    private final Map<String, Integer> contacts;
    private final CompletableFuture<Void> played = new CompletableFuture<>();

    private Player(Performance performance, Map<String, Integer> contacts) {
        this.performance = performance;
        this.contacts = contacts;
    }

    /** Players for all that is to be performed: one performance in place of every device, or those that the settings name. */
    public static List<Player> all(Settings settings, Optional<Performance> instead) throws PerformanceException {
        List<Player> players = new ArrayList<>();
        if (instead.isPresent()) {
            players.add(new Player(instead.get(), contacts(instead.get(), settings)));
            return players;
        }
        for (PedalSettings pedal : settings.pedals()) {
            if (pedal instanceof PedalSettings.Performed performed) {
                Map<String, Integer> contacts = new HashMap<>();
                performed.contacts().forEach(named -> {
                    contacts.put(named.name(), named.contact());
                    contacts.put(pedal.name() + "." + named.name(), named.contact());
                });
                Performance performance = Performance.read(performed.file());
                refuseUnknown(performance, contacts);
                players.add(new Player(performance, contacts));
            }
        }
        return players;
    }

    private static void refuseUnknown(Performance performance, Map<String, Integer> contacts)
            throws PerformanceException {
        for (String name : performance.contacts()) {
            if (!contacts.containsKey(name)) {
                throw new PerformanceException(
                        performance.name(),
                        0,
                        "the configuration has no contact '" + name + "' on that pedal; it has "
                                + String.join(", ", contacts.keySet()));
            }
        }
    }

    private static Map<String, Integer> contacts(Performance performance, Settings settings)
            throws PerformanceException {
        Map<String, Integer> contacts = new HashMap<>();
        for (String name : performance.contacts()) {
            int contact = settings.contact(name)
                    .orElseThrow(() -> new PerformanceException(
                            performance.name(),
                            0,
                            "the configuration has no contact '" + name + "'; it has "
                                    + String.join(
                                            ", ",
                                            settings.contacts().stream()
                                                    .map(Contact::fullName)
                                                    .toList())));
            contacts.put(name, contact);
        }
        return contacts;
    }

    CompletableFuture<Void> played() {
        return played;
    }

    /** Begins to play; on the loop. */
    public void start(Loop loop, InputListener listener) {
        long origin = loop.now();
        long last = origin;
        for (Performance.Edge edge : performance.edges()) {
            Integer contact = contacts.get(edge.contact());
            long at = origin + edge.nanos();
            last = at;
            if (contact != null) {
                loop.at(at, () -> listener.edge(contact, edge.closed(), false, at));
            }
        }
        loop.at(last + TAIL_NANOS, () -> played.complete(null));
    }
}
