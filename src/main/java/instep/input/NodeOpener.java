package instep.input;

/** Opens device nodes: the kernel's, or in tests what stands for them. Descriptors do not block. */
interface NodeOpener {
    /**
     * Opens an event node.
     *
     * @param down set to the keys that are down already
     */
    int keys(DeviceNode device, boolean grab, long[] down) throws NodeException;

    /** Opens a raw HID node. */
    int reports(DeviceNode device) throws NodeException;

    /** Opens the first input of a raw MIDI node. */
    MidiDescriptor midi(DeviceNode device) throws NodeException;

    /**
     * A raw MIDI node that is open.
     *
     * @param isStamped whether it gives not bytes but frames of them, {@code struct snd_rawmidi_framing_tstamp}, each with the kernel's monotonic time
     */
    record MidiDescriptor(int number, boolean isStamped) {}

    /** What a descriptor from {@link #keys} says of its keys and axes. */
    EvdevDecoder.State state(int descriptor);
}
