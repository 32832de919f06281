package instep.input;

import io.netty.channel.IoEventLoop;
import java.io.IOException;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.concurrent.ExecutorService;
import java.util.concurrent.Future;
import java.util.concurrent.TimeUnit;
import java.util.function.BiFunction;

/**
 * The devices of a configuration on the loop: found, opened, read, and taken up again when they return. Pedals that are
 * performed from a file are left to the caller.
 *
 * <p>Its methods may be called on any thread and wait until the loop has done it; the listener is called on the loop.
 * What goes wrong with a device is told to the listener, not thrown.
 */
public final class Devices implements AutoCloseable {
    private final IoEventLoop loop;
    private final Host host;
    private final List<Slot> slots = new ArrayList<>();
    private final List<Door> doors = new ArrayList<>();
    private final ExecutorService background;
    private final Lookout lookout;
    private final BiFunction<PedalSettings.Midi, InputListener, MidiMessages> messages;

    /**
     * Devices of this machine; nothing is opened before {@link #start}.
     *
     * @param pedals known to the listener by their places in this list
     */
    public Devices(IoEventLoop loop, List<PedalSettings> pedals, InputListener listener) {
        this(loop, pedals, listener, Ports.ofThisRun());
    }

    /** The same, where each is plugged in being known from before, and to others. */
    public Devices(IoEventLoop loop, List<PedalSettings> pedals, InputListener listener, Ports ports) {
        this(loop, pedals, listener, Host.machine(), ports);
    }

    Devices(IoEventLoop loop, List<PedalSettings> pedals, InputListener listener, Host host, Ports ports) {
        this(loop, pedals, listener, host, ports, (midi, seat) -> new MidiContacts(midi.contacts(), seat));
    }

    /** With somebody else to take what MIDI devices send. */
    Devices(
            IoEventLoop loop,
            List<PedalSettings> pedals,
            InputListener listener,
            Host host,
            Ports ports,
            BiFunction<PedalSettings.Midi, InputListener, MidiMessages> messages) {
        this.loop = loop;
        this.host = host;
        this.messages = messages;
        background = Background.thread();
        lookout = new Lookout(loop, background, host, ports);
        for (int i = 0; i < pedals.size(); i++) {
            add(pedals.get(i), new Seat(pedals.get(i), i, listener));
        }
    }

    private void add(PedalSettings pedal, Seat seat) {
        if (pedal instanceof PedalSettings.Events events) {
            slots.add(new Slot(events, events.match(), host.sysfs(), seat, this::reading));
        } else if (pedal instanceof PedalSettings.Reports reports) {
            slots.add(new Slot(reports, reports.match(), host.sysfs(), seat, this::reading));
        } else if (pedal instanceof PedalSettings.Midi midi) {
            slots.add(new Slot(midi, midi.match(), host.sysfs(), seat, this::reading));
        } else if (pedal instanceof PedalSettings.Network network) {
            doors.add(new Door(network, loop, background, seat, Door.IDLE_MILLIS));
        }
    }

    /**
     * Goes on with the pedal units of another configuration: those that are the same stay open, the others are given back without a word, and new ones are
     * opened. On the loop.
     *
     * @param theirs by pedal unit: the number that it had before, if it is the same ({@link SamePedal}); else negative
     */
    public void goOn(List<PedalSettings> pedals, int[] theirs, InputListener listener) {
        List<Slot> slotsBefore = List.copyOf(slots);
        List<Door> doorsBefore = List.copyOf(doors);
        slots.clear();
        doors.clear();
        for (int i = 0; i < pedals.size(); i++) {
            int before = theirs[i];
            Optional<Slot> slot = slotsBefore.stream()
                    .filter(one -> one.seat().pedal() == before)
                    .findFirst();
            Optional<Door> door = doorsBefore.stream()
                    .filter(one -> one.seat().pedal() == before)
                    .findFirst();
            slot.ifPresent(slots::add);
            door.ifPresent(doors::add);
            if (slot.isEmpty() && door.isEmpty()) {
                add(pedals.get(i), new Seat(pedals.get(i), i, listener));
            }
        }
        slotsBefore.stream().filter(slot -> !slots.contains(slot)).forEach(Slot::close);
        doorsBefore.stream().filter(door -> !doors.contains(door)).forEach(Door::close);
        for (int i = 0; i < pedals.size(); i++) {
            move(pedals.get(i), i, theirs[i], slotsBefore, doorsBefore, listener);
        }
        doors.stream().filter(door -> !doorsBefore.contains(door)).forEach(Door::open);
        lookout.look(slots);
    }

    private static void move(
            PedalSettings pedal, int number, int before, List<Slot> slots, List<Door> doors, InputListener listener) {
        // Numbers change one after the other: what has been moved already is no longer looked for by its old one.
        slots.stream()
                .filter(slot -> !slot.seat().isMovedTo(listener) && slot.seat().pedal() == before)
                .forEach(slot -> slot.seat().move(pedal, number, listener));
        doors.stream()
                .filter(door -> !door.seat().isMovedTo(listener) && door.seat().pedal() == before)
                .forEach(door -> door.seat().move(pedal, number, listener));
    }

    /** Opens what is there, says of what is not, and watches for devices that come. */
    public void start() {
        OnLoop.run(loop, () -> {
            doors.forEach(Door::open);
            lookout.look(slots);
        });
    }

    /**
     * Reads a descriptor in place of a pedal's device: {@code struct input_event}s for one with keys, for one with
     * reports one report a read, for one that speaks MIDI its bytes. For rigs, and to warm the path.
     *
     * @param descriptor must not block; belongs to this object from now on
     */
    public void attach(int pedal, int descriptor) throws IOException {
        OnLoop.run(loop, () -> {
            Slot slot = slots.stream()
                    .filter(one -> one.seat().pedal() == pedal && !one.isUp())
                    .findFirst()
                    .orElse(null);
            if (slot == null) {
                Libc.close(descriptor);
                throw new IllegalArgumentException("no pedal " + pedal + " that could be read");
            }
            lookout.attach(slot, descriptor);
        });
    }

    /** Gives all devices back. No edges and no states are told any more. */
    @Override
    public void close() {
        if (!loop.isShutdown()) {
            OnLoop.run(loop, () -> {
                lookout.close();
                slots.forEach(Slot::close);
                doors.forEach(Door::close);
            });
        }
        background.shutdown();
    }

    /** How many event nodes it knows of; loop thread only. */
    int known() {
        return lookout.known();
    }

    private MidiReading reading(PedalSettings.Midi midi, boolean isStamped, InputListener seat) {
        return new MidiReading(messages.apply(midi, seat), isStamped, this::after, System::nanoTime);
    }

    private void after(long nanos, Runnable task) {
        Future<?> unused = loop.schedule(task, nanos, TimeUnit.NANOSECONDS);
    }
}
