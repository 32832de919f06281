package instep.input;

import instep.input.Inventory.Device;
import instep.input.Inventory.Reading;
import instep.input.hid.ReportDescriptor;
import io.netty.channel.IoEventLoop;
import java.io.IOException;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.concurrent.ExecutorService;
import org.jspecify.annotations.Nullable;

/** All devices listened to at once, until it is closed. */
public final class Listening implements AutoCloseable {
    /** ABS_CNT. */
    private static final int AXES = 0x40;

    private static final class Heard {
        private final Device device;
        private @Nullable LoopSource source;

        Heard(Device device) {
            this.device = device;
        }
    }

    private final IoEventLoop loop;
    private final Host host;
    private final Inventory.Listener listener;
    private final ExecutorService background = Background.thread();
    private final RawNodes rawNodes;
    private final Map<String, Heard> heard = new HashMap<>();
    private @Nullable Hotplug hotplug;

    private Listening(IoEventLoop loop, Host host, Inventory.Listener listener) {
        this.loop = loop;
        this.host = host;
        this.listener = listener;
        rawNodes = new RawNodes(loop, background, host, found -> found.nodes().forEach(this::raw));
    }

    static Listening start(IoEventLoop loop, Host host, Inventory.Listener listener) throws IOException {
        Listening listening = new Listening(loop, host, listener);
        try {
            OnLoop.run(loop, listening::begin);
            return listening;
        } catch (IOException e) {
            listening.close();
            throw e;
        }
    }

    /** Ends it; nothing is told any more. */
    @Override
    public void close() {
        if (!loop.isShutdown()) {
            OnLoop.run(loop, this::end);
        }
        background.shutdown();
    }

    private void begin() throws IOException {
        hotplug = new Hotplug(loop, host.sysfs(), List.of(), new Changes());
        everything();
    }

    private void end() {
        rawNodes.close();
        heard.values().stream().map(one -> one.source).forEach(source -> {
            if (source != null) {
                source.close();
            }
        });
        if (hotplug != null) {
            hotplug.close();
        }
    }

    private void everything() {
        host.sysfs().events().forEach(this::event);
        rawNodes.refresh();
        host.sysfs().midis().forEach(node -> take(node, Reading.MIDI));
    }

    private void event(DeviceNode node) {
        if (node.capabilities().couldBePedal()) {
            take(node, Reading.KEYS);
        }
    }

    private void raw(DeviceNode node) {
        if (!host.sysfs().alsoSendsEvents(node)) {
            take(node, Reading.REPORTS);
        }
    }

    /** Listens to a device unless it is listened to already; one that was denied is tried again. */
    private void take(DeviceNode node, Reading how) {
        Heard before = heard.get(node.file());
        if (before != null && before.source != null) {
            return;
        }
        String missing = "";
        int descriptor = -1;
        boolean isStamped = false;
        long[] down = new long[EvdevDecoder.WORDS];
        try {
            switch (how) {
                case KEYS -> descriptor = host.opener().keys(node, false, down);
                case REPORTS -> descriptor = host.opener().reports(node);
                case MIDI -> {
                    NodeOpener.MidiDescriptor midi = host.opener().midi(node);
                    descriptor = midi.number();
                    isStamped = midi.isStamped();
                }
            }
        } catch (NodeException e) {
            missing = String.valueOf(e.getMessage());
        }
        Device device = Inventory.of(node, how, missing);
        if (before != null && before.device.equals(device)) {
            return;
        }
        Heard now = new Heard(device);
        heard.put(node.file(), now);
        if (descriptor >= 0) {
            LoopSource.Reading reading = switch (how) {
                case KEYS -> events(device, node, host.opener().state(descriptor), down);
                case REPORTS -> reports(device, node);
                case MIDI ->
                    new MidiReading(
                            new MidiSignals(device, listener), isStamped, (nanos, task) -> {}, System::nanoTime);
            };
            read(now, node, descriptor, reading);
        }
        listener.came(device);
    }

    private void read(Heard now, DeviceNode node, int descriptor, LoopSource.Reading reading) {
        try {
            now.source = LoopSource.start(loop, descriptor, reading, source -> {
                background.execute(source::closeDescriptor);
                went(node.file());
            });
        } catch (IOException e) {
            throw new IllegalStateException("epoll on " + node.node(), e);
        }
    }

    private LoopSource.Reading events(Device device, DeviceNode node, EvdevDecoder.State state, long[] down) {
        int[] position = new int[3];
        for (int code = 0; code < AXES; code++) {
            if (node.capabilities().namesAxis(code) && state.axis(code, position) && position[1] != position[2]) {
                listener.stands(device, new Signal.Axis(code), share(position[0], position));
            }
        }
        return new EventReading(new Events(device, state), state, down);
    }

    /** From the minimum, which may be the greater, to the maximum. */
    private static double share(int value, int[] range) {
        double share = ((double) value - range[1]) / ((double) range[2] - range[1]);
        return Math.min(1, Math.max(0, share));
    }

    private LoopSource.Reading reports(Device device, DeviceNode node) {
        ReportDescriptor descriptor = ReportDescriptor.parse(host.sysfs().reportDescriptor(node));
        NamedReading named = new NamedReading(descriptor, new Reports(device));
        return named.isEmpty()
                ? new BitReading(
                        descriptor.isNumbered(),
                        (report, byteIndex, bit, closed, nanos) ->
                                listener.switched(device, new Signal.Bit(report, byteIndex, bit), closed, nanos))
                : named;
    }

    private final class Events implements EvdevDecoder.Signals {
        private final Device device;
        private final EvdevDecoder.State state;
        private final int[][] ranges = new int[AXES][];

        Events(Device device, EvdevDecoder.State state) {
            this.device = device;
            this.state = state;
        }

        @Override
        public void key(int code, boolean closed, boolean lost, long nanos) {
            listener.switched(device, new Signal.Key(code), closed, nanos);
        }

        @Override
        public void axis(int code, int value, long nanos) {
            if (code >= AXES) {
                return;
            }
            if (ranges[code] == null) {
                ranges[code] = new int[3];
                state.axis(code, ranges[code]);
            }
            if (ranges[code][1] != ranges[code][2]) {
                listener.moved(device, new Signal.Axis(code), share(value, ranges[code]), nanos);
            }
        }

        @Override
        public void wheel(int code, int by, long nanos) {
            listener.switched(device, new Signal.Step(code, by > 0), true, nanos);
            listener.switched(device, new Signal.Step(code, by > 0), false, nanos);
        }
    }

    private final class Reports implements NamedReading.Controls {
        private final Device device;

        Reports(Device device) {
            this.device = device;
        }

        @Override
        public void switched(Signal signal, boolean closed, long nanos) {
            listener.switched(device, signal, closed, nanos);
        }

        @Override
        public void stands(Signal signal, double share) {
            listener.stands(device, signal, share);
        }

        @Override
        public void moved(Signal signal, double share, long nanos) {
            listener.moved(device, signal, share, nanos);
        }
    }

    private void went(String file) {
        Heard gone = heard.remove(file);
        if (gone != null) {
            listener.went(gone.device);
        }
    }

    private final class Changes implements Hotplug.Listener {
        @Override
        public void eventNode(String file, boolean gone) {
            node(file, gone, () -> host.sysfs().event(file).ifPresent(Listening.this::event));
        }

        @Override
        public void rawNode(String file, boolean gone) {
            node(file, gone, rawNodes::refresh);
        }

        @Override
        public void midiNode(String file, boolean gone) {
            node(file, gone, () -> host.sysfs().midi(file).ifPresent(node -> take(node, Reading.MIDI)));
        }

        @Override
        public void everything() {
            Listening.this.everything();
        }

        /** A node that is read tells by itself when it goes. */
        private void node(String file, boolean gone, Runnable look) {
            Heard known = heard.get(file);
            if (!gone) {
                look.run();
            } else if (known != null && known.source == null) {
                went(file);
            }
        }
    }
}
