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

    /** Opens a raw MIDI node. */
    int midi(DeviceNode device) throws NodeException;

    /** What a descriptor from {@link #keys} says of its keys and axes. */
    EvdevDecoder.State state(int descriptor);
}
