package instep.daemon;

import instep.config.Settings;
import instep.gesture.Contact;
import instep.input.PedalSettings;
import instep.input.Performance;
import instep.input.PerformanceException;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.concurrent.CompletableFuture;
import java.util.function.LongConsumer;
import java.util.stream.Collectors;

/**
 * Plays a performance where a device would be. Its edges come due as deadlines do: each bears its time, and comes before all that is later, however late the loop gets round to it, so that a busy machine
 * plays the same lesson. Loop thread only, but for {@link #all} and {@link #played}.
 */
public final class Player {
    /** After the last edge, so that what it leads to is over, too. */
    public static final long TAIL_NANOS = 1_500_000_000L;

    private final Performance performance;
    /** The full names of its contacts by those in the performance. */
    private final Map<String, String> contacts;

    private final CompletableFuture<Void> played = new CompletableFuture<>();
    private long origin;
    /** Which edge is next; before it has begun, none. */
    private int next = Integer.MAX_VALUE;

    /** Who feels what is played. */
    interface Feet {
        void edge(String contact, boolean closed, long due);
    }

    private Player(Performance performance, Map<String, Integer> contacts, Settings settings) {
        this.performance = performance;
        this.contacts = contacts.entrySet().stream()
                .collect(Collectors.toMap(
                        Map.Entry::getKey,
                        one -> settings.contacts().get(one.getValue()).fullName()));
    }

    /** Players for all that is to be performed: one performance in place of every device, or those that the settings name. */
    public static List<Player> all(Settings settings, Optional<Performance> instead) throws PerformanceException {
        List<Player> players = new ArrayList<>();
        if (instead.isPresent()) {
            players.add(new Player(instead.get(), contacts(instead.get(), settings), settings));
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
                players.add(new Player(performance, contacts, settings));
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

    /** Begins to play at that instant. */
    void begin(long now) {
        origin = now;
        next = 0;
    }

    /** When the next edge is due; {@link Long#MAX_VALUE}: there is none. */
    long nextDeadline() {
        return next < performance.edges().size()
                ? origin + performance.edges().get(next).nanos()
                : Long.MAX_VALUE;
    }

    /** Plays what is due by then. */
    void advanceTo(long due, Feet feet) {
        while (nextDeadline() <= due) {
            long at = nextDeadline();
            Performance.Edge edge = performance.edges().get(next++);
            feet.edge(contacts.getOrDefault(edge.contact(), edge.contact()), edge.closed(), at);
        }
    }

    /**
     * Begins to play on a loop, which comes round to each edge in time.
     *
     * @param comeRound does all that is due by an instant
     */
    public void begin(Loop loop, LongConsumer comeRound) {
        begin(loop.now());
        long end = origin + performance.length();
        for (Performance.Edge edge : performance.edges()) {
            long at = origin + edge.nanos();
            loop.at(at, () -> comeRound.accept(at));
        }
        loop.at(end + TAIL_NANOS, () -> played.complete(null));
    }
}
