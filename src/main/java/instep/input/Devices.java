package instep.input;

import instep.input.InputListener.DeviceState;
import io.netty.channel.IoEventLoop;
import java.io.IOException;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Collection;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.concurrent.ExecutorService;
import java.util.concurrent.Future;
import java.util.concurrent.TimeUnit;
import java.util.function.BiFunction;
import org.jspecify.annotations.Nullable;

/**
 * The devices of a configuration on the loop: found, opened, read, and taken up again when they return. Pedals that are
 * performed from a file are left to the caller.
 *
 * <p>Its methods may be called on any thread and wait until the loop has done it; the listener is called on the loop.
 * What goes wrong with a device is told to the listener, not thrown.
 */
public final class Devices implements AutoCloseable {
    /** How long a device that has just come may be forbidden: udev sets its permissions in that time. */
    private static final long PATIENCE_MILLIS = 1_000;
    /** The kernel does not tell when another program's grab ends. */
    private static final long GRAB_RETRY_MILLIS = 2_000;

    private final IoEventLoop loop;
    private final Host host;
    private final List<Slot> slots = new ArrayList<>();
    private final List<Door> doors = new ArrayList<>();
    private final ExecutorService background;
    private final RawNodes rawNodes;
    private final BiFunction<PedalSettings.Midi, InputListener, MidiMessages> messages;
    private final Map<String, DeviceNode> events = new HashMap<>();
    private boolean rawFaultTold;
    private @Nullable Hotplug hotplug;
    /** Why devices that come later will not be seen; empty if they will. */
    private String blind = "";

    private boolean closed;

    /**
     * Devices of this machine; nothing is opened before {@link #start}.
     *
     * @param pedals known to the listener by their places in this list
     */
    public Devices(IoEventLoop loop, List<PedalSettings> pedals, InputListener listener) {
        this(loop, pedals, listener, Host.machine());
    }

    Devices(IoEventLoop loop, List<PedalSettings> pedals, InputListener listener, Host host) {
        this(loop, pedals, listener, host, (midi, seat) -> new MidiContacts(midi.contacts(), seat));
    }

    /** With somebody else to take what MIDI devices send. */
    Devices(
            IoEventLoop loop,
            List<PedalSettings> pedals,
            InputListener listener,
            Host host,
            BiFunction<PedalSettings.Midi, InputListener, MidiMessages> messages) {
        this.loop = loop;
        this.host = host;
        this.messages = messages;
        background = Background.thread();
        for (int i = 0; i < pedals.size(); i++) {
            add(pedals.get(i), new Seat(pedals.get(i), i, listener));
        }
        rawNodes = new RawNodes(loop, background, host, this::rawsFound);
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
        Set<Path> linksBefore = Set.copyOf(links());
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
        if (hotplug != null && (slots.isEmpty() || !Set.copyOf(links()).equals(linksBefore))) {
            hotplug.close();
            hotplug = null;
        }
        look();
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
            look();
        });
    }

    private void look() {
        if (slots.isEmpty()) {
            return;
        }
        if (hotplug == null) {
            try {
                hotplug = new Hotplug(loop, host.sysfs(), links(), new Changes());
            } catch (IOException e) {
                blind = "; devices that come later will not be seen: " + e.getMessage();
            }
        }
        rescan(false);
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
            EvdevDecoder.State state = host.opener().state(descriptor);
            Slot.Reader reader = slot.reader(null, state, new long[EvdevDecoder.WORDS], false);
            slot.up(source(slot, descriptor, reader), null, "reads a descriptor in place of the device");
        });
    }

    /** Gives all devices back. No edges and no states are told any more. */
    @Override
    public void close() {
        if (!loop.isShutdown()) {
            OnLoop.run(loop, () -> {
                closed = true;
                rawNodes.close();
                slots.forEach(Slot::close);
                doors.forEach(Door::close);
                if (hotplug != null) {
                    hotplug.close();
                }
            });
        }
        background.shutdown();
    }

    private List<Path> links() {
        return slots.stream().flatMap(slot -> slot.link().stream()).toList();
    }

    private void rescan(boolean patient) {
        events.clear();
        host.sysfs().events().forEach(node -> events.put(node.file(), node));
        settleEvents(patient);
        settleMidi(patient);
        if (slots.stream().anyMatch(slot -> slot.readsReports() && !slot.isUp())) {
            rawNodes.refresh();
        }
    }

    private void settleEvents(boolean patient) {
        slots.stream().filter(Slot::readsEvents).forEach(slot -> settle(slot, events.values(), patient));
    }

    private void settleMidi(boolean patient) {
        List<Slot> waiting =
                slots.stream().filter(slot -> slot.readsMidi() && !slot.isUp()).toList();
        if (!waiting.isEmpty()) {
            List<DeviceNode> nodes = host.sysfs().midis();
            waiting.forEach(slot -> settle(slot, nodes, patient));
        }
    }

    private void rawsFound(RawNodes.Found found) {
        List<Slot> reporting =
                slots.stream().filter(slot -> slot.readsReports()).toList();
        if (!closed && !found.fault().isEmpty() && !rawFaultTold) {
            rawFaultTold = true;
            String words = found.fault() + "; looking for it in " + host.sysfs().sys() + " alone";
            reporting.forEach(slot -> slot.tell(DeviceState.DENIED, words));
        }
        reporting.forEach(slot -> settle(slot, found.nodes(), true));
    }

    /** Opens the pedal's device if it is there and not open yet. */
    private void settle(Slot slot, Collection<DeviceNode> nodes, boolean patient) {
        if (closed || slot.isUp()) {
            return;
        }
        List<DeviceNode> matching = slot.wanted.matching(nodes);
        List<DeviceNode> able = matching.stream()
                .filter(node -> slot.wanted.lacking(node).isEmpty())
                .toList();
        Optional<DeviceNode> choice = slot.choose(able, slots);
        if (choice.isPresent()) {
            open(slot, choice.get(), patient);
        } else if (able.isEmpty() && !matching.isEmpty()) {
            DeviceNode one = matching.get(0);
            deny(slot, one.words() + " has no " + slot.wanted.lacking(one).orElse("such contact"), patient);
        } else {
            String others = able.isEmpty()
                    ? ""
                    : "; what matches is another pedal's: " + able.get(0).words();
            slot.tell(DeviceState.ABSENT, slot.waiting() + others + blind);
        }
    }

    private void open(Slot slot, DeviceNode device, boolean patient) {
        try {
            Opened opened = Opened.of(host, slot, device);
            slot.up(source(slot, opened.descriptor(), opened.reader()), device, slot.reads(device, opened.reader()));
        } catch (NodeException e) {
            refused(slot, e, patient);
        } catch (IOException e) {
            deny(slot, "cannot read " + device.words() + ": " + e.getMessage(), patient);
        }
    }

    /** How many event nodes it knows of; loop thread only. */
    int known() {
        return events.size();
    }

    private LoopSource source(Slot slot, int descriptor, Slot.Reader reader) throws IOException {
        return LoopSource.start(loop, descriptor, reader.reading(), source -> vanished(slot, source));
    }

    private void vanished(Slot slot, LoopSource source) {
        // Closing an event node waits for all processors, milliseconds that other pedals need not share.
        background.execute(source::closeDescriptor);
        slot.vanished().ifPresent(device -> {
            if (slot.readsEvents()) {
                refresh(device.file());
                settleEvents(true);
            } else if (slot.readsMidi()) {
                settleMidi(true);
            } else {
                rawNodes.refresh();
            }
        });
    }

    private void refresh(String eventFile) {
        host.sysfs()
                .event(eventFile)
                .ifPresentOrElse(node -> events.put(eventFile, node), () -> events.remove(eventFile));
    }

    private void refused(Slot slot, NodeException fault, boolean patient) {
        String words = String.valueOf(fault.getMessage());
        if (fault.isGone()) {
            slot.tell(DeviceState.ABSENT, words + "; " + slot.waiting() + blind);
            return;
        }
        deny(slot, words, patient && fault.isForbidden());
        if (fault.isHeld() && !slot.isRetried) {
            slot.isRetried = true;
            later(GRAB_RETRY_MILLIS, () -> {
                slot.isRetried = false;
                if (slot.readsMidi()) {
                    settleMidi(false);
                } else {
                    settle(slot, events.values(), false);
                }
            });
        }
    }

    /** Tells of a denial; of a device that has just come only if it is still denied after a while. */
    private void deny(Slot slot, String words, boolean patient) {
        slot.denied(words);
        if (patient) {
            later(PATIENCE_MILLIS, () -> slot.tellDenied(words));
        } else {
            slot.tellDenied(words);
        }
    }

    private void later(long millis, Runnable task) {
        Future<?> unused = loop.schedule(
                () -> {
                    if (!closed) {
                        task.run();
                    }
                },
                millis,
                TimeUnit.MILLISECONDS);
    }

    private MidiReading reading(PedalSettings.Midi midi, boolean isStamped, InputListener seat) {
        return new MidiReading(messages.apply(midi, seat), isStamped, this::after, System::nanoTime);
    }

    private void after(long nanos, Runnable task) {
        Future<?> unused = loop.schedule(task, nanos, TimeUnit.NANOSECONDS);
    }

    /** What inotify says. */
    private final class Changes implements Hotplug.Listener {
        @Override
        public void eventNode(String file, boolean gone) {
            if (gone) {
                events.remove(file);
            } else {
                refresh(file);
            }
            settleEvents(true);
        }

        @Override
        public void rawNode(String file, boolean gone) {
            if (slots.stream().anyMatch(slot -> slot.readsReports() && !slot.isUp())) {
                rawNodes.refresh();
            }
        }

        @Override
        public void midiNode(String file, boolean gone) {
            settleMidi(true);
        }

        @Override
        public void everything() {
            rescan(true);
        }
    }
}
