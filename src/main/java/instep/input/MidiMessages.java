package instep.input;

/** Who takes the messages of one MIDI device, as {@link MidiParser} gives them. */
interface MidiMessages {
    /** A message that was read at that monotonic instant. */
    void message(int status, int first, int second, long nanos);

    /** A short exclusive message; the bytes are lent for the call. */
    default void exclusive(byte[] bytes, int length, long nanos) {}

    /** The device has gone, or does not say any more that it is there. */
    void vanished(long nanos);
}
