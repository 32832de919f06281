package instep.input;

import java.nio.ByteBuffer;
import java.util.Arrays;

/** Keys of one device, all or those that are contacts. */
final class KeyReading implements LoopSource.Reading {
    private final EvdevDecoder decoder;

    /**
     * A reading of all keys.
     *
     * @param down the keys that are down before it begins
     */
    KeyReading(EvdevDecoder.Keys keys, EvdevDecoder.State state, long[] down) {
        decoder = new EvdevDecoder(keys, state);
        decoder.downAtOpen(down);
    }

    /** A reading of the keys that are contacts. */
    static KeyReading of(PedalSettings.Keys pedal, InputListener listener, EvdevDecoder.State state, long[] down) {
        int[] contacts = new int[EvdevDecoder.KEYS];
        Arrays.fill(contacts, -1);
        for (PedalSettings.Key key : pedal.keys()) {
            contacts[key.code()] = key.contact();
        }
        return new KeyReading(
                (code, closed, lost, nanos) -> {
                    if (contacts[code] >= 0) {
                        listener.edge(contacts[code], closed, lost, nanos);
                    }
                },
                state,
                down);
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
