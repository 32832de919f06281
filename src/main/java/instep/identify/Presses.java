package instep.identify;

import instep.gesture.Threshold;
import instep.input.Inventory;
import instep.input.Inventory.Device;
import instep.input.Signal;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import org.jspecify.annotations.Nullable;

/** Makes contacts of what devices send: a switch that closes is one, and so is what moves away from where it rests. Loop thread only. */
public final class Presses implements Inventory.Listener {
    /** Who is told. */
    public interface Listener {
        /** A device is there. */
        default void came(Device device) {}

        /** A device was unplugged. */
        default void went(Device device) {}

        /** A contact was pressed for the first time. */
        default void found(FoundPedals pedals, FoundContact contact) {}

        /** A contact closed or opened, for the first time or again. */
        default void edge(FoundContact contact, boolean closed, long nanos) {}

        /** A contact bounces more than was known. */
        default void bounces(FoundPedals pedals, FoundContact contact, String words) {}
    }

    private static final List<String> NAMES = List.of("first", "second", "third", "fourth", "fifth", "sixth");
    /** What rests so near to an end of its way moves away from there; else it rests in its middle, as a hat or a stick. */
    private static final double NEAR_AN_END = 0.25;

    private static final List<Threshold> UPWARDS = List.of(Threshold.DEFAULT);
    private static final List<Threshold> DOWNWARDS = List.of(new Threshold(0.4, 0.6));
    private static final List<Threshold> BOTH_WAYS = List.of(new Threshold(0.25, 0.4), new Threshold(0.75, 0.6));

    private final List<Listener> listeners;
    private final Set<Device> present = new LinkedHashSet<>();
    private final Map<Source, FoundContact> contacts = new LinkedHashMap<>();
    private final Map<BitsOf, Unknown> bytes = new HashMap<>();
    private final Map<Source, Double> rests = new HashMap<>();

    public Presses(List<Listener> listeners) {
        this.listeners = List.copyOf(listeners);
    }

    /**
     * What may be a contact.
     *
     * @param threshold of what moves; null for a switch
     */
    private record Source(
            Device device, Signal signal, @Nullable Threshold threshold) {}

    @Override
    public void came(Device device) {
        present.add(device);
        listeners.forEach(listener -> listener.came(device));
    }

    @Override
    public void went(Device device) {
        present.remove(device);
        listeners.forEach(listener -> listener.went(device));
    }

    @Override
    public void switched(Device device, Signal signal, boolean closed, long nanos) {
        Source source = new Source(device, signal, null);
        if (signal instanceof Signal.Bit bit && !contacts.containsKey(source)) {
            bytes.computeIfAbsent(new BitsOf(device, bit.report(), bit.byteIndex()), of -> new Unknown())
                    .bit(source, closed, nanos);
        } else {
            edge(source, closed, nanos);
        }
    }

    /** A byte of raw reports whose bits nobody has named. */
    private record BitsOf(Device device, int report, int byteIndex) {}

    /** Bits that closed and are no contacts yet: they become some when all of their byte are as they were, which a running number hardly ever is. */
    private final class Unknown {
        private final Set<Source> closed = new LinkedHashSet<>();
        private final Map<Source, Long> since = new LinkedHashMap<>();

        void bit(Source source, boolean closes, long nanos) {
            if (closes) {
                closed.add(source);
                since.putIfAbsent(source, nanos);
            } else if (closed.remove(source) && closed.isEmpty()) {
                since.forEach((bit, closing) -> edge(bit, true, closing));
                since.keySet().forEach(bit -> edge(bit, false, nanos));
                since.clear();
            }
        }
    }

    @Override
    public void stands(Device device, Signal signal, double share) {
        rests.put(new Source(device, signal, null), share);
    }

    @Override
    public void moved(Device device, Signal signal, double share, long nanos) {
        double rest = rests.computeIfAbsent(new Source(device, signal, null), source -> share);
        for (Threshold threshold : thresholds(rest)) {
            Source source = new Source(device, signal, threshold);
            FoundContact contact = contacts.get(source);
            boolean before = contact != null && contact.isClosed();
            boolean closed = threshold.closed(before, share);
            if (closed != before) {
                edge(source, closed, nanos);
            }
        }
    }

    private static List<Threshold> thresholds(double rest) {
        if (rest <= NEAR_AN_END) {
            return UPWARDS;
        }
        return rest >= 1 - NEAR_AN_END ? DOWNWARDS : BOTH_WAYS;
    }

    private void edge(Source source, boolean closed, long nanos) {
        FoundContact known = contacts.get(source);
        if (known == null && !closed) {
            return; // it was down before it was listened to
        }
        FoundContact contact = known == null ? made(source) : known;
        Optional<String> before = contact.debounce();
        boolean bounced = contact.bounce().isPresent();
        contact.edge(closed, nanos);
        if (known == null) {
            listeners.forEach(listener -> listener.found(pedals(), contact));
        }
        listeners.forEach(listener -> listener.edge(contact, closed, nanos));
        if (!contact.debounce().equals(before) || contact.bounce().isPresent() != bounced) {
            contact.bounce()
                    .ifPresent(words -> listeners.forEach(listener -> listener.bounces(pedals(), contact, words)));
        }
    }

    private FoundContact made(Source source) {
        int number = contacts.size();
        String name = number < NAMES.size() ? NAMES.get(number) : "contact-" + (number + 1);
        FoundContact contact = new FoundContact(source.device, source.signal, source.threshold, name);
        contacts.put(source, contact);
        return contact;
    }

    private FoundPedals pedals() {
        return new FoundPedals(List.copyOf(contacts.values()), Set.copyOf(present));
    }
}
