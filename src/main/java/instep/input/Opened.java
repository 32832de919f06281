package instep.input;

import java.util.Optional;

/** A device's node that was just opened for a pedal unit, and what its bytes are decoded with. */
record Opened(int descriptor, Slot.Reader reader) {
    /**
     * Opens it.
     *
     * @throws NodeException also if the node, between being looked at and being opened, became another device's
     */
    static Opened of(Host host, Slot slot, DeviceNode device) throws NodeException {
        NodeOpener opener = host.opener();
        long[] down = new long[EvdevDecoder.WORDS];
        boolean isStamped = false;
        int descriptor;
        Optional<DeviceNode> now;
        if (slot.settings instanceof PedalSettings.Events events) {
            descriptor = opener.keys(device, events.grab(), down);
            now = host.sysfs().event(device.file());
        } else if (slot.readsMidi()) {
            NodeOpener.MidiDescriptor midi = opener.midi(device);
            descriptor = midi.number();
            isStamped = midi.isStamped();
            now = host.sysfs().midi(device.file());
        } else {
            descriptor = opener.reports(device);
            now = host.sysfs().raw(device.file());
        }
        if (now.isPresent() && !now.get().isAt(device)) {
            Libc.close(descriptor);
            throw NodeException.opening(device.node(), Libc.ENODEV);
        }
        return new Opened(descriptor, slot.reader(device, opener.state(descriptor), down, isStamped));
    }
}
