package instep.input;

import java.nio.ByteBuffer;

/** Kernel events of one device. */
final class EventReading implements LoopSource.Reading {
    private final EvdevDecoder decoder;

    /**
     * A reading of all that the device sends.
     *
     * @param down the keys that are down before it begins
     */
    EventReading(EvdevDecoder.Signals signals, EvdevDecoder.State state, long[] down) {
        decoder = new EvdevDecoder(signals, state);
        decoder.downAtOpen(down);
    }

    @Override
    public ByteBuffer buffer() {
        return decoder.buffer();
    }

    @Override
    public void received(int bytes) {
        decoder.received(bytes);
    }

    @Override
    public void vanished(long nanos) {
        decoder.vanished(nanos);
    }
}
