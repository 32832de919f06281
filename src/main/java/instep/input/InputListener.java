package instep.input;

/** What the devices do; called on the loop thread. */
public interface InputListener {
    /** State of a device. */
    enum DeviceState {
        /** Not there yet, or gone; it is taken up when it comes. */
        ABSENT,
        /** There, but it cannot be opened; {@code detail} says what is missing. */
        DENIED,
        /** Read from now on. */
        UP
    }

    /**
     * A contact closed or opened.
     *
     * @param contact the number of the contact
     * @param lost whether the device vanished, which opens all its contacts
     * @param nanos monotonic time, the kernel's where it gives one
     */
    void edge(int contact, boolean closed, boolean lost, long nanos);

    /**
     * A contact whose positions are sent was moved. Comes after the edge that the move made, if it did.
     *
     * @param share of its whole way, from 0 to 1
     * @param nanos as of an edge
     */
    default void moved(int contact, double share, long nanos) {}

    /**
     * A device came, went, or cannot be used.
     *
     * @param pedal the number of the pedal unit
     * @param detail a sentence for a person
     */
    void device(int pedal, DeviceState state, String detail, long nanos);

    /**
     * Somebody who may not send, or something that nobody understands; the pedal unit goes on as it was.
     *
     * @param sentence for a person
     */
    default void oddity(int pedal, String sentence, long nanos) {}
}
