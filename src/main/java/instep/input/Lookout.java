package instep.input;

import instep.input.InputListener.DeviceState;
import io.netty.channel.IoEventLoop;
import java.io.IOException;
import java.nio.file.Path;
import java.util.Collection;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.concurrent.Executor;
import java.util.concurrent.Future;
import java.util.concurrent.TimeUnit;
import java.util.stream.Collectors;
import org.jspecify.annotations.Nullable;

/** Looks out for the devices of pedal units, opens those that are there, and takes them up again when they return. Loop thread only. */
final class Lookout implements Hotplug.Listener {
    /** How long a device that has just come may be forbidden: udev sets its permissions in that time. */
    private static final long PATIENCE_MILLIS = 1_000;
    /** The kernel does not tell when another program's grab ends. */
    private static final long GRAB_RETRY_MILLIS = 2_000;

    private final IoEventLoop loop;
    private final Executor background;
    private final Host host;
    private final Ports ports;
    private final RawNodes rawNodes;
    private final Map<String, DeviceNode> events = new HashMap<>();
    private List<Slot> slots = List.of();
    private Set<Path> links = Set.of();
    private boolean rawFaultTold;
    private @Nullable Hotplug hotplug;
    /** Why devices that come later will not be seen; empty if they will. */
    private String blind = "";

    private boolean closed;

    /** Sees nothing before {@link #look}. */
    Lookout(IoEventLoop loop, Executor background, Host host, Ports ports) {
        this.loop = loop;
        this.background = background;
        this.host = host;
        this.ports = ports;
        rawNodes = new RawNodes(loop, background, host, this::rawsFound);
    }

    /** Opens what is there of these units' devices, says of what is not, and watches for devices that come, instead of for those before. */
    void look(List<Slot> now) {
        Set<Path> linksNow = now.stream().flatMap(slot -> slot.link().stream()).collect(Collectors.toSet());
        slots.stream().filter(slot -> !now.contains(slot)).forEach(slot -> ports.leave(slot.name()));
        slots = List.copyOf(now);
        if (hotplug != null && (slots.isEmpty() || !linksNow.equals(links))) {
            hotplug.close();
            hotplug = null;
        }
        links = linksNow;
        if (slots.isEmpty()) {
            ports.looked();
            return;
        }
        if (hotplug == null) {
            try {
                hotplug = new Hotplug(loop, host.sysfs(), List.copyOf(links), this);
            } catch (IOException e) {
                blind = "; devices that come later will not be seen: " + e.getMessage();
            }
        }
        rescan(false);
    }

    /** Reads that descriptor in place of the unit's device. */
    void attach(Slot slot, int descriptor) throws IOException {
        EvdevDecoder.State state = host.opener().state(descriptor);
        Slot.Reader reader = slot.reader(null, state, new long[EvdevDecoder.WORDS], false);
        slot.up(source(slot, descriptor, reader), null, "reads a descriptor in place of the device");
    }

    /** Sees nothing any more; what is open is the units' own. */
    void close() {
        closed = true;
        rawNodes.close();
        if (hotplug != null) {
            hotplug.close();
        }
    }

    private void rescan(boolean patient) {
        events.clear();
        host.sysfs().events().forEach(node -> events.put(node.file(), node));
        settleEvents(patient);
        settleMidi(patient);
        if (slots.stream().anyMatch(slot -> slot.readsReports() && !slot.isUp())) {
            rawNodes.refresh();
        } else {
            ports.looked();
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
        ports.looked();
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
        Twins twins = new Twins(slot, able, slots, ports);
        remember(twins);
        Optional<DeviceNode> own = twins.own();
        if (own.isPresent()) {
            ports.give(slot.name(), Places.of(own.get()));
            open(slot, own.get(), patient);
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

    /** For the next run, in which they may come one after the other. */
    private void remember(Twins twins) {
        if (!twins.remember()) {
            return;
        }
        background.execute(() -> {
            try {
                ports.save();
            } catch (IOException e) {
                later(0, () -> twins.slot().remark("cannot keep which port is whose for the next start: " + e));
            }
        });
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
